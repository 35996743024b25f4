"""A reading set against what good boards of its design read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from typing import NamedTuple

from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import Manner, facts_of, manner
from jobkit.jobs.entries import Reading
from jobkit.jobs.facts import Facts, Proved
from jobkit.jobs.finding import Place
from jobkit.jobs.job import Job
from jobkit.reckon.good_boards import good_jobs, is_reading, manner_proved, readings_by_manner, same_board
from jobkit.reckon.meters import How, Taken, how_proved, how_read, same_display, take
from jobkit.reckon.usual import FEWEST, Usual, usual, usual_of
from jobkit.units.accuracy import root_sum_of_squares
from jobkit.units.exact import EXACT
from jobkit.units.quantity import Quantity, parse_quantity


class Against(NamedTuple):
    """What is usual where a reading was taken, and how the reading stands: usual, high, low, or "" (too few to say)."""

    usual: Usual
    stands: str


def against_usual(job: Job, facts: Iterable[Facts], bench: Bench) -> Mapping[Place, Against]:
    """Set every reading of a job against the usual of other boards of its design, by the place of the reading."""
    if not job.board.design:
        return {}
    learned = usual_of(job.board.design, facts, bench, but=facts_of(job))
    rows = {row.manner: row for row in learned.rows if row.n or row.open}
    return {
        reading.path: Against(row, _stands(reading, row, bench))
        for reading in job.readings
        if reading.value is not None and (row := rows.get(manner(reading)))
    }


class Unusual(NamedTuple):
    """A proof reading that is not as usual: where it stands in the file, and against what."""

    proved: Proved
    against: Against


def unusual_proofs(job: Facts, facts: Iterable[Facts], bench: Bench) -> Iterator[Unusual]:
    """Find the proof readings of a job that are high or low against the usual of other boards of its design.

    Made to be quick where all is as usual: a value within what the same meter has shown on other good boards is not
    looked at any further.
    """
    jobs, _ = good_jobs(job.design, facts)
    others = [one for one in jobs if not same_board(one, job)]
    rows = [proved for proved in job.proof if is_reading(proved) and proved.settled]
    ends = _ends(others, {_shown_how(proved) for proved in rows})
    odd = [proved for proved in rows if not _within(proved, ends)]
    if odd:
        learned = readings_by_manner(others, bench.meters, {manner_proved(proved) for proved in odd})
        for proved in odd:
            how = manner_proved(proved)
            row = usual(how, learned.get(how, ()))
            taken = take(_value(proved), how_proved(proved), bench.meters, Decimal(1))
            word = stands(taken, row, bench.settings.decision.k)
            if word in {"high", "low"}:
                yield Unusual(proved, Against(row, word))


_ShownHow = tuple[Manner, How]


def _ends(jobs: Iterable[Facts], wanted: set[_ShownHow]) -> dict[_ShownHow, tuple[Decimal, Decimal]]:
    """Find the lowest and highest value shown by each meter and range, for the manners wanted."""
    ends: dict[_ShownHow, tuple[Decimal, Decimal]] = {}
    for one in jobs:
        for proved in one.proof:
            how = _shown_how(proved)
            if how in wanted and is_reading(proved) and proved.settled:
                value = _value(proved).value
                low, high = ends.get(how, (value, value))
                ends[how] = min(low, value), max(high, value)
    return ends


def _within(proved: Proved, ends: Mapping[_ShownHow, tuple[Decimal, Decimal]]) -> bool:
    known = ends.get(_shown_how(proved))
    return known is not None and known[0] <= _value(proved).value <= known[1]


def _shown_how(proved: Proved) -> _ShownHow:
    return manner_proved(proved), how_proved(proved)


def _value(proved: Proved) -> Quantity:
    return parse_quantity(proved.value, proved.kind)


def stands(taken: Taken, row: Usual, k: Decimal) -> str:
    """Tell how a value taken with k = 1 stands to what is usual: usual, high, low, or "" where it cannot be told.

    It is high or low only outside both the tolerance interval and the range seen (one good board in twenty lies outside
    the first by definition), and by more than the meters can tell. On the range of the meter that read all the others
    too, what its error has in common cancels, and any difference counts; else the standard uncertainties of the reading
    and of the others are combined (JCGM 100:2008, 5.1.2 and 5.2).
    """
    if taken.value.open or row.open:
        return _stands_open(taken, row)
    if row.interval is None or row.moments is None:
        return ""
    guard = _guard(taken, row, k)
    if not row.moments.sd and not guard:
        return ""
    value = taken.value.value
    if EXACT.add(value, guard) < min(row.interval.low, row.moments.lowest):
        return "low"
    return "high" if EXACT.subtract(value, guard) > max(row.interval.high, row.moments.highest) else "usual"


def _stands(reading: Reading, row: Usual, bench: Bench) -> str:
    assert reading.value is not None
    taken = take(reading.value, how_read(reading), bench.meters, Decimal(1))
    return stands(taken, row, bench.settings.decision.k)


def _stands_open(taken: Taken, row: Usual) -> str:
    if taken.value.open:
        return "usual" if row.open else "high" if row.interval else ""
    return "low" if not row.n and len(row.open) >= FEWEST else ""


def _guard(taken: Taken, row: Usual, k: Decimal) -> Decimal:
    others = [good.taken for good in row.readings]
    if same_display((taken, *others)):
        accuracy = taken.range.accuracy if taken.range else None
        return accuracy.step.value if accuracy else Decimal(0)
    largest = max((one.uncertainty.value for one in others if one.uncertainty), default=Decimal(0))
    own = taken.uncertainty.value if taken.uncertainty else Decimal(0)
    return EXACT.multiply(k, root_sum_of_squares((own, largest)))
