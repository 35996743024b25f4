"""Proof readings that are not what other good boards of the design read, found quickly in a whole book.

Nearly every reading is as usual, and need not be looked at closely: a value within what the same meter has shown on
other good boards cannot be outside the range seen. The latest good boards of a design are asked first, then all of
them, and only what is outside those too is used in full.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts, ProofRow
from jobkit.jobs.manner import Manner
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.readings.against_usual import Against, stands
from jobkit.reckon.readings.good_boards import (
    good_jobs,
    is_reading,
    manner_proved,
    readings_by_manner,
    same_board,
    same_fault,
)
from jobkit.reckon.readings.meters import CorrectedReading, Method, correct_reading, method_of_proof
from jobkit.reckon.readings.usual import usual
from jobkit.units.quantity import Quantity, parse_quantity

_LATEST = 200
"""Good boards of a design that are asked first: of as many, one reading in a hundred is outside."""

_ShownHow = tuple[Manner, Method]


class Unusual(NamedTuple):
    """A proof reading that is not as usual, what it says of the board, and against what."""

    proved: ProofRow
    corrected: CorrectedReading
    against: Against


class _Extremes(NamedTuple):
    """The two lowest and the two highest values of different jobs, each with its job: without one, the other counts."""

    lowest: tuple[tuple[Decimal, Facts], ...]
    highest: tuple[tuple[Decimal, Facts], ...]


class GoodBoards:
    """The good boards of a whole book by design; what they show is looked up when it is first asked for."""

    def __init__(self, facts: Iterable[Facts]) -> None:
        everything = tuple(facts)
        self._came_back = same_fault(everything)
        self._by_design: dict[str, list[Facts]] = {}
        for one in everything:
            self._by_design.setdefault(one.design, []).append(one)
        self._good: dict[str, tuple[Facts, ...]] = {}
        self._latest: dict[str, dict[_ShownHow, _Extremes]] = {}

    def of(self, design: str) -> tuple[Facts, ...]:
        """Give the good jobs of a design, the latest last."""
        if design not in self._good:
            counted, _ = good_jobs(design, self._by_design.get(design, ()), self._came_back)
            self._good[design] = tuple(sorted(counted, key=lambda one: one.finished))
        return self._good[design]

    def latest(self, design: str) -> dict[_ShownHow, _Extremes]:
        """Give the ends of what the latest good boards of a design showed, by manner and meter."""
        if design not in self._latest:
            self._latest[design] = _ends(self.of(design)[-_LATEST:])
        return self._latest[design]


def unusual_proofs(job: Facts, boards: GoodBoards, bench: Bench) -> Iterator[Unusual]:
    """Find the proof readings of a job that are high or low against the usual of other boards of its design."""
    rows = [proved for proved in job.proof if is_reading(proved) and proved.settled]
    latest = boards.latest(job.design)
    rows = [proved for proved in rows if not _within(proved, latest, job)]
    if rows:
        wanted = {_shown_how(proved) for proved in rows}
        every = _ends(boards.of(job.design), wanted)
        yield from _reckoned(
            [proved for proved in rows if not _within(proved, every, job)], job, boards, bench
        )


def _reckoned(rows: Sequence[ProofRow], job: Facts, boards: GoodBoards, bench: Bench) -> Iterator[Unusual]:
    others = [one for one in boards.of(job.design) if not same_board(one, job)] if rows else []
    learned = readings_by_manner(others, bench.meters, {manner_proved(proved) for proved in rows})
    for proved in rows:
        how = manner_proved(proved)
        row = usual(how, learned.get(how, ()))
        corrected = correct_reading(_value(proved), method_of_proof(proved), bench.meters, Decimal(1))
        word = stands(corrected, row, bench.settings.decision.k)
        if word in {"high", "low"}:
            yield Unusual(proved, corrected, Against(row, word))


def _ends(jobs: Iterable[Facts], wanted: set[_ShownHow] | None = None) -> dict[_ShownHow, _Extremes]:
    values: dict[_ShownHow, list[tuple[Decimal, Facts]]] = {}
    points = {manner.point for manner, _ in wanted or ()}
    for one in jobs:
        for proved in one.proof:
            if wanted is not None and proved.point not in points:
                continue
            how = _shown_how(proved)
            if (wanted is None or how in wanted) and is_reading(proved) and proved.settled:
                values.setdefault(how, []).append((_value(proved).value, one))
    return {how: _ends_of(found) for how, found in values.items()}


def _ends_of(found: list[tuple[Decimal, Facts]]) -> _Extremes:
    found.sort(key=lambda pair: pair[0])
    return _Extremes(_two_boards(found), _two_boards(found[::-1]))


def _two_boards(found: Sequence[tuple[Decimal, Facts]]) -> tuple[tuple[Decimal, Facts], ...]:
    first = found[0]
    other = next((pair for pair in found if not same_board(pair[1], first[1])), None)
    return (first, other) if other else (first,)


def _within(proved: ProofRow, ends: dict[_ShownHow, _Extremes], job: Facts) -> bool:
    known = ends.get(_shown_how(proved))
    if known is None:
        return False
    value = _value(proved).value
    low = next((end for end, one in known.lowest if not same_board(one, job)), None)
    high = next((end for end, one in known.highest if not same_board(one, job)), None)
    return low is not None and high is not None and low <= value <= high


def _shown_how(proved: ProofRow) -> _ShownHow:
    return manner_proved(proved), method_of_proof(proved)


def _value(proved: ProofRow) -> Quantity:
    return parse_quantity(proved.value, proved.kind)
