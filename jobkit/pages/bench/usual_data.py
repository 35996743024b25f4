"""What good boards of a design read, as data and as tables for a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal

from jobkit.jobs.manner import Manner
from jobkit.named_tuple import NamedTuple
from jobkit.pages.bench.usual_load import usual_load_data
from jobkit.pages.blocks import Table
from jobkit.pages.forms.data import Data, measured, number
from jobkit.reckon.load_run.usual_under_load import UsualUnderLoad
from jobkit.reckon.readings.good_boards import Good
from jobkit.reckon.readings.usual import DesignUsual, Usual
from jobkit.reckon.statistics.tolerance import ToleranceBound, ToleranceInterval

_FIGURES = (
    "mean",
    "sd",
    "median",
    "lowest",
    "highest",
    "low",
    "high",
    "k",
    "bound",
    "bound_k",
    "confidence",
)
_READINGS = ("point", "reading", "job", "day", "meter", "shown", "leads", "reads", "remark")


class Proposals(NamedTuple):
    """What was proposed into the board file `path`: manner, limit, and what became of it, in words."""

    path: str
    rows: Sequence[tuple[Manner, str, str]]


class UsualView(NamedTuple):
    """What the page shows: what was learned, as of which day, `each` reading or not, and what was proposed."""

    learned: DesignUsual
    on: date
    each: bool = False
    proposals: Proposals | None = None
    under_load: Sequence[UsualUnderLoad] = ()


def known(view: UsualView) -> list[Usual]:
    """Give the rows that anything is known about."""
    return [row for row in view.learned.rows if row.n or row.open or row.unsettled or row.outliers]


def usual_data(view: UsualView) -> Data:
    """Give all that was learned as one object."""
    learned = view.learned
    data: Data = {
        "points": [_row_data(row) for row in learned.rows],
        "design": learned.design,
        "as_of": str(view.on),
        "left_out": [one._asdict() for one in learned.left_out],
        "under_load": usual_load_data(view.under_load),
    }
    if view.proposals:
        data["proposed"] = [
            {"manner": _manner_data(how), "point": how.point, "limit": limit or None, "outcome": what}
            for how, limit, what in view.proposals.rows
        ]
    return data


def _row_data(row: Usual) -> Data:
    whole = row.moments
    return {
        "point": row.manner.point,
        "manner": _manner_data(row.manner),
        "unit": row.unit,
        "scale": row.scale,
        "n": row.n,
        "mean": number(whole.mean) if whole else None,
        "sd": number(whole.sd) if whole and whole.sd is not None else None,
        "median": number(whole.median) if whole else None,
        "lowest": number(whole.lowest) if whole else None,
        "highest": number(whole.highest) if whole else None,
        "interval": _interval_data(row.interval),
        "bound": _bound_data(row.bound),
        "range_confidence": row.range_confidence,
        "jobs": [good.job for good in row.readings],
        "log10": {"mean": number(row.logs.mean), "sd": number(row.logs.sd or Decimal(0))}
        if row.logs
        else None,
        "open": [good.job for good in row.open],
        "outliers": [good.job for good in row.outliers],
        "unsettled": [good.job for good in row.unsettled],
        "readings": [_good_data(good) for good in row.readings],
    }


def _manner_data(how: Manner) -> Data:
    return {
        "kind": how.kind,
        "to": how.to or None,
        "red_on": how.red_on or None,
        "state": how.state or None,
        "removed": list(how.removed),
    }


def _interval_data(interval: ToleranceInterval | None) -> Data | None:
    if interval is None:
        return None
    return {
        "low": number(interval.low),
        "high": number(interval.high),
        "content": number(interval.content),
        "confidence": number(interval.confidence) if interval.confidence is not None else None,
        "factor": interval.factor,
    }


def _bound_data(bound: ToleranceBound | None) -> Data | None:
    if bound is None:
        return None
    return {
        "side": bound.side,
        "value": number(bound.value),
        "content": number(bound.content),
        "confidence": number(bound.confidence) if bound.confidence is not None else None,
        "factor": bound.factor,
    }


def _good_data(good: Good) -> Data:
    corrected = good.corrected
    return {
        "job": good.job,
        "shown": measured(corrected.shown),
        "lead": measured(corrected.lead),
        "value": measured(corrected.value),
        "meter": corrected.meter or None,
    }


def figures_table(rows: Sequence[Usual]) -> Table:
    """Give all figures in the base unit, unrounded, for a spreadsheet."""
    heads = ("point", "reading", "unit", "scale", "n", "open", *_FIGURES)
    return Table(heads, [_figures(row) for row in rows], right=("n", "open", *_FIGURES))


def _figures(row: Usual) -> tuple[str, ...]:
    whole, interval, bound = row.moments, row.interval, row.bound
    described = (whole.mean, whole.sd, whole.median, whole.lowest, whole.highest) if whole else (None,) * 5
    limits = (interval.low, interval.high, interval.factor) if interval else (None,) * 3
    one_sided = (bound.value, bound.factor) if bound else (None,) * 2
    values = (*described, *limits, *one_sided, row.range_confidence)
    told = ("" if value is None else str(number(Decimal(value))) for value in values)
    return (
        row.manner.point,
        _reading(row.manner),
        row.unit,
        row.scale,
        str(row.n),
        str(len(row.open)),
        *told,
    )


def each_table(found: Sequence[Usual]) -> Table:
    """Give every reading behind what was learned."""
    rows = [(how.point, _reading(how), *each) for how, each in each_rows(found)]
    return Table(_READINGS, rows, right=("shown", "leads", "reads"))


def each_rows(rows: Sequence[Usual]) -> Iterator[tuple[Manner, tuple[str, ...]]]:
    """Give the readings of each row by job, those that do not count with the reason."""
    for row in rows:
        remarks = {
            "": row.readings,
            "open": row.open,
            "dropped as outlier": row.outliers,
            "unsettled": row.unsettled,
        }
        found = [(good, remark) for remark, goods in remarks.items() for good in goods]
        for good, remark in sorted(found, key=lambda pair: pair[0].job):
            corrected = good.corrected
            lead = corrected.lead.text if corrected.lead else ""
            cells = (
                good.job,
                good.day,
                corrected.meter,
                corrected.shown.text,
                lead,
                corrected.value.text,
                remark,
            )
            yield row.manner, cells


def _reading(how: Manner) -> str:
    """Say a manner without its point."""
    whole = how._replace(to="").words().removeprefix(f"{how.point} ")
    return f"to {how.to} {whole}" if how.to else whole
