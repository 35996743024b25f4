"""What good boards of a design read, on a page that can be followed by hand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

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
from jobkit.pages.blocks import Answer, Block, Line, Table, Title, filled
from jobkit.pages.scale import Scale, far_ends, scale_for
from jobkit.pages.words import counted, share
from jobkit.reckon.readings.good_boards import Good
from jobkit.reckon.readings.usual import CONFIDENCE, CONTENT, DesignUsual, Usual
from jobkit.reckon.statistics.moments import SampleStatistics
from jobkit.reckon.statistics.tolerance import ToleranceInterval
from jobkit.units.written import plain_digits

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
        yield from map(Line, _how_to_read(rows))
    yield from map(Line, _remarks(view))
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
    if row.interval is None:
        return ""
    low, high = row.interval.low, row.interval.high
    if row.scale == "log":
        return f"{far_ends(low, high, row.unit)} (log)"
    return f"{scale.figure(low)} .. {scale.figure(high)}"


def _how_to_read(rows: Sequence[Usual]) -> Iterator[str]:
    content, confidence = share_plain(CONTENT), share_plain(CONFIDENCE)
    factors = {row.n: row.interval.factor for row in rows if row.interval}
    each = ", ".join(f"{factor:.4f} for n = {n}" for n, factor in sorted(factors.items()))
    if each:
        yield (
            f"interval: mean ± k sd, which holds {content} of all boards with {confidence} confidence if they are "
            f"normally distributed; exact k = {each}; from 4 boards on."
        )
    sure = {row.n + len(row.open): row.range_confidence for row in rows if not row.open}
    each = ", ".join(f"{share(part)} for n = {n}" for n, part in sorted(sure.items()) if part is not None)
    if each:
        yield (
            f"range seen: it holds {content} of all boards, whatever their distribution, with a confidence of {each}."
        )
    if any(row.scale == "log" for row in rows):
        yield (
            "(log): the highest is more than ten times the lowest, so the interval is that of the logarithms; mean and "
            "sd are of the readings."
        )
    if any(
        row.interval and not row.interval.factor * float(row.moments.sd or 0) for row in rows if row.moments
    ):
        yield (
            "An interval without width: the readings are all the same, so the spread is below the resolution of the "
            "meter."
        )


def share_plain(part: Decimal) -> str:
    """Write a share in percent without idle digits.

    >>> share_plain(Decimal("0.95"))
    '95 %'
    """
    return f"{plain_digits(part * 100)} %"


def _remarks(view: UsualView) -> Iterator[str]:
    rows = view.learned.rows
    for row in rows:
        if row.open:
            sure = share(row.range_confidence or 0)
            yield (
                f"{row.manner.words()}: {counted(len(row.open), 'board')} read open, which is not a number, so "
                f"there is no interval; {share_plain(CONTENT)} of all boards read open or as much as the lowest "
                f"here, with a confidence of {sure}."
            )
        if row.unsettled:
            yield f"{row.manner.words()}: not counted because unsettled: {_ids(row.unsettled)}."
        if row.outliers:
            yield f"{row.manner.words()}: dropped as outliers (robust z above 3.5): {_listed(row.outliers)}."
    shared = _shared_boards(view.learned)
    if shared:
        yield (
            f"One board each: {'; '.join(shared)}. They count as separate readings, which overstates the confidence a "
            "little."
        )
    if _one_display(rows):
        yield (
            "Readings from one range of one meter share its systematic error: it shifts an interval as a whole, by up "
            "to U, and does not show in sd."
        )
    if view.learned.left_out:
        yield f"Not counted: {', '.join(f'{one.job} ({one.why})' for one in view.learned.left_out)}."
    empty = [row.manner.words() for row in rows if not (row.n or row.open or row.unsettled or row.outliers)]
    if empty:
        yield f"No readings yet: {'; '.join(empty)}."


def _one_display(rows: Sequence[Usual]) -> bool:
    return any(row.one_display for row in rows if row.n > 1)


def _ids(found: Sequence[Good]) -> str:
    return ", ".join(good.job for good in found)


def _listed(found: Sequence[Good]) -> str:
    return ", ".join(f"{good.job} ({good.corrected.value.text})" for good in found)


def _shared_boards(learned: DesignUsual) -> list[str]:
    by_serial: dict[str, list[str]] = {}
    for one in learned.jobs:
        if one.serial:
            by_serial.setdefault(one.serial, []).append(one.id)
    return [" and ".join(ids) for ids in by_serial.values() if len(ids) > 1]


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
            yield Line(_by_hand(row.interval, row.logs or row.moments, row))


def _by_hand(interval: ToleranceInterval, sample: SampleStatistics | None, row: Usual) -> str:
    assert sample is not None
    assert sample.sd is not None
    scale = _scale(row)
    k = f"{interval.factor:.4f}"
    if row.logs:
        mean, sd = f"{sample.mean:.4f}", f"{sample.sd:.4f}"
        power = f"10 to the power of {mean} ± {k} × {sd} = {far_ends(interval.low, interval.high, row.unit)}"
        return f"n = {row.n}; of the decimal logarithms, in {row.unit}: mean {mean}, sd {sd}; {power}."
    finer = scale._replace(place=None if scale.place is None else scale.place - 2)
    mean, sd = finer.figure(sample.mean), finer.figure(sample.sd)
    ends = f"{scale.figure(interval.low)} .. {scale.figure(interval.high)} {scale.unit}"
    return f"n = {row.n}; mean {mean}, sd {sd}; {mean} ± {k} × {sd} = {ends}."


def _proposal_blocks(proposals: Proposals | None) -> Iterator[Block]:
    if proposals is None:
        return
    yield Title(f"Proposed into {proposals.path}")
    rows = [(how.words(), limit, what) for how, limit, what in proposals.rows]
    if rows:
        yield Table(("reading", "limit", "result"), rows)
    yield Line("Read the difference before you commit.")
