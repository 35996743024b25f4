"""What good boards of a design read, on a page that can be followed by hand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jobkit.pages.bench.usual_data import (
    Proposals,
    UsualView,
    each_rows,
    each_table,
    figures_table,
    known,
    usual_data,
)
from jobkit.pages.bench.usual_load import usual_load_blocks
from jobkit.pages.bench.usual_words import how_to_read, remarks
from jobkit.pages.blocks import Answer, Block, Line, Table, Title, filled
from jobkit.pages.scale import Scale, far_ends, scale_for
from jobkit.pages.words import counted
from jobkit.reckon.readings.usual import Usual
from jobkit.reckon.statistics.tolerance import ToleranceBound
from jobkit.units.written import show

_HEADS = ("reading", "unit", "n", "mean", "sd", "median", "range seen", "interval")
_RIGHT = ("n", "mean", "sd", "median")
_READINGS = ("job", "day", "meter", "shown", "leads", "reads", "remark")


def usual_page(view: UsualView) -> Answer:
    """Show what is usual point by point, with how sure that is and the jobs behind it."""
    table = each_table(known(view)) if view.each else figures_table(known(view))
    return Answer(list(_blocks(view)), usual_data(view), table)


def _blocks(view: UsualView) -> Iterator[Block]:
    learned = view.learned
    yield Title(f"Usual readings of {learned.design}, as of {view.on}", 1)
    yield Line(
        f"From the last proof readings of {counted(len(learned.jobs), 'job')}: finished, repaired or without fault, "
        "not back with the same fault; and known good boards. The lead resistance is subtracted."
    )
    rows = known(view)
    if rows:
        yield _table(rows)
        yield from map(Line, how_to_read(rows))
    yield from map(Line, remarks(view))
    yield from usual_load_blocks(view.under_load)
    if view.each:
        yield from _each_blocks(rows)
    elif rows:
        yield Title("Jobs used")
        yield from map(Line, _jobs_lines(view))
    yield from _proposal_blocks(view.proposals)


def _table(rows: Sequence[Usual]) -> Table:
    return Table(_HEADS, [_row(row) for row in rows], right=_RIGHT)


def _row(row: Usual) -> tuple[str, ...]:
    scale = _scale(row)
    whole = row.moments
    count = f"{row.n} + {len(row.open)} OL" if row.open else str(row.n)
    figures = ("", "", "")
    if whole:
        figures = scale.figure(whole.mean), scale.figure(whole.sd), scale.figure(whole.median)
    return (row.manner.words(), scale.unit, count, *figures, _range(row, scale), _interval(row, scale))


def _scale(row: Usual) -> Scale:
    if row.moments is None:
        return scale_for((), row.unit, None)
    if row.scale == "log":
        # Figures that lie decades apart have no place in common.
        return scale_for((row.moments.median,), row.unit, None)._replace(digits=3)
    return scale_for((row.moments.median,), row.unit, row.moments.sd)


def _range(row: Usual, scale: Scale) -> str:
    if row.moments is None:
        return "OL" if row.open else ""
    low, high = scale.figure(row.moments.lowest), scale.figure(row.moments.highest)
    end = "OL" if row.open else high
    return low if low == end else f"{low} .. {end}"


def _interval(row: Usual, scale: Scale) -> str:
    if row.bound:
        return _bound_words(row.bound, row, scale)
    if row.interval is None:
        return ""
    low, high = row.interval.low, row.interval.high
    if row.scale == "log":
        return f"{far_ends(low, high, row.unit)} (log)"
    return f"{scale.figure(low)} .. {scale.figure(high)}"


def _bound_words(bound: ToleranceBound, row: Usual, scale: Scale) -> str:
    sign = ">=" if bound.side == "low" else "<="
    if row.scale == "log":
        return f"{sign} {show(bound.value, row.unit)} (log)"
    return f"{sign} {scale.figure(bound.value)}"


def _jobs_lines(view: UsualView) -> Iterator[str]:
    """Name the jobs behind the rows, each set of them once, that of the most rows first."""
    rows_of: dict[tuple[str, ...], list[str]] = {}
    for row in known(view):
        rows_of.setdefault(tuple(good.job for good in (*row.readings, *row.open)), []).append(
            row.manner.words()
        )
    for jobs, readings in sorted(rows_of.items(), key=lambda pair: -len(pair[1])):
        yield f"{'; '.join(readings)}: {', '.join(jobs) or 'none'}."
    first = known(view)[0].manner.point
    yield f"`jobkit usual {view.learned.design} --point {first}` shows each reading."


def _each_blocks(rows: Sequence[Usual]) -> Iterator[Block]:
    for row in rows:
        yield Title(row.manner.words())
        each = [cells for _, cells in each_rows([row])]
        yield filled(Table(_READINGS, each, right=("shown", "leads", "reads")))
        if row.interval:
            yield Line(_by_hand(row))


def _by_hand(row: Usual) -> str:
    """Write the sum that gives the interval, or the one-sided limit where there is one."""
    sample, found = row.logs or row.moments, row.bound or row.interval
    assert sample is not None
    assert sample.sd is not None
    assert found is not None
    scale, k = _scale(row), f"{found.factor:.4f}"
    sign = {"low": "−", "high": "+", "": "±"}[row.bound.side if row.bound else ""]
    if row.logs:
        mean, sd = f"{sample.mean:.4f}", f"{sample.sd:.4f}"
        power = f"10 to the power of {mean} {sign} {k} × {sd} = {_result(row, scale)}"
        return f"n = {row.n}; of the decimal logarithms, in {row.unit}: mean {mean}, sd {sd}; {power}."
    finer = scale._replace(place=None if scale.place is None else scale.place - 2)
    mean, sd = finer.figure(sample.mean), finer.figure(sample.sd)
    return f"n = {row.n}; mean {mean}, sd {sd}; {mean} {sign} {k} × {sd} = {_result(row, scale)}."


def _result(row: Usual, scale: Scale) -> str:
    """Write what the sum comes out at, with its unit."""
    if row.bound:
        value = row.bound.value
        return show(value, row.unit) if row.logs else f"{scale.figure(value)} {scale.unit}"
    assert row.interval is not None
    low, high = row.interval.low, row.interval.high
    return (
        far_ends(low, high, row.unit)
        if row.logs
        else f"{scale.figure(low)} .. {scale.figure(high)} {scale.unit}"
    )


def _proposal_blocks(proposals: Proposals | None) -> Iterator[Block]:
    if proposals is None:
        return
    yield Title(f"Proposed into {proposals.path}")
    rows = [(how.words(), limit, what) for how, limit, what in proposals.rows]
    if rows:
        yield Table(("reading", "limit", "result"), rows)
    yield Line("Read the difference before you commit.")
