"""A reading set against what good boards of its design read."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal

from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.entries import Reading
from jobkit.jobs.facts import Facts
from jobkit.jobs.finding import Place
from jobkit.jobs.job import Job
from jobkit.jobs.manner import Manner, manner
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.readings.meters import CorrectedReading, correct_reading, method_of, same_display
from jobkit.reckon.readings.usual import FEWEST, Usual, usual_of
from jobkit.units.accuracy import root_sum_of_squares
from jobkit.units.exact import EXACT

TOO_NEAR = "too near to tell"
"""How a reading stands that is beyond the usual range by less than the meters can tell."""


class Against(NamedTuple):
    """What is usual where a reading was taken, and how the reading stands.

    That is: usual, high, low, TOO_NEAR, or "" (too few boards to say).
    """

    usual: Usual
    stands: str


def against_usual(job: Job, facts: Iterable[Facts], bench: Bench) -> Mapping[Place, Against]:
    """Set every reading of a job against the usual of other boards of its design, by the place of the reading."""
    if not job.board.design:
        return {}
    learned = usual_of(job.board.design, facts, bench, but=facts_of(job))
    rows = {row.manner: row for row in learned.rows if row.n or row.open}
    return against(job, rows.get, bench)


def against(job: Job, usual: Callable[[Manner], Usual | None], bench: Bench) -> Mapping[Place, Against]:
    """Set every reading of a job against what is usual in its manner, by the place of the reading."""
    return {
        reading.path: Against(row, _stands(reading, row, bench))
        for reading in job.readings
        if reading.value is not None and (row := usual(manner(reading)))
    }


def stands(corrected: CorrectedReading, row: Usual, k: Decimal) -> str:
    """Tell how a value taken with k = 1 compares with what is usual: usual, high, low, or "" where too few are known.

    It is high or low only outside both the tolerance interval and the range seen (one good board in twenty is outside
    the first by definition), and by more than the meters can tell; outside by less it is TOO_NEAR. On the range of the
    meter that read all the others too, what its error has in common cancels, and any difference counts; else the
    standard uncertainties of the reading and of the others are combined (JCGM 100:2008, 5.1.2 and 5.2).
    """
    if corrected.value.open or row.open:
        return _stands_open(corrected, row)
    if row.interval is None or row.moments is None:
        return ""
    guard = _guard(corrected, row, k)
    if not row.moments.sd and not guard:
        return ""
    value = corrected.value.value
    low, high = min(row.interval.low, row.moments.lowest), max(row.interval.high, row.moments.highest)
    if low <= value <= high:
        return "usual"
    if EXACT.add(value, guard) < low:
        return "low"
    return "high" if EXACT.subtract(value, guard) > high else TOO_NEAR


def _stands(reading: Reading, row: Usual, bench: Bench) -> str:
    assert reading.shown is not None
    corrected = correct_reading(reading.shown, method_of(reading), bench.meters, Decimal(1))
    return stands(corrected, row, bench.settings.decision.k)


def _stands_open(corrected: CorrectedReading, row: Usual) -> str:
    if corrected.value.open:
        return "usual" if row.open else "high" if row.interval else ""
    return "low" if not row.n and len(row.open) >= FEWEST else ""


def _guard(corrected: CorrectedReading, row: Usual, k: Decimal) -> Decimal:
    others = [good.corrected for good in row.readings]
    if same_display((corrected, *others)):
        accuracy = corrected.range.accuracy if corrected.range else None
        return accuracy.step.value if accuracy else Decimal(0)
    largest = max((one.uncertainty.value for one in others if one.uncertainty), default=Decimal(0))
    own = corrected.uncertainty.value if corrected.uncertainty else Decimal(0)
    return EXACT.multiply(k, root_sum_of_squares((own, largest)))
