"""Boards that failed when they were to be proved: trials that failed, and last proof readings outside their limit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from jobkit.jobs.bench import Bench
from jobkit.jobs.entries import Reading
from jobkit.jobs.facts import Day, Facts, ProofRow
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.readings.limits import verdict_word
from jobkit.units.errors import MisuseError
from jobkit.units.limit import Limit, parse_limit
from jobkit.units.quantity import parse_quantity


class Failure(NamedTuple):
    """What failed, on which job, on which day: `what` is the trial's run, or the point that was read."""

    day: Day
    job: str
    what: str


def proof_failures(facts: Iterable[Facts], bench: Bench, since: Day, until: Day) -> tuple[Failure, ...]:
    """List the failures of a stretch of days, both included, in order of time.

    A proof reading that was taken again at the same point and in the same manner is gone: the last one counts. A run
    that was stopped before it could tell is not a failure.
    """
    lately = (one for one in facts if one.last_day >= since)
    found = (failure for one in lately for failure in _failures(one, bench, since, until))
    return tuple(sorted(found))


def reading_of(proved: ProofRow) -> Reading:
    """Turn a proof reading of the facts back into a reading that can be judged."""
    return Reading(
        ("reading", proved.row),
        stage="proof",
        point=proved.point or None,
        kind=proved.kind or None,
        value=parse_quantity(proved.value, proved.kind or None) if proved.value else None,
        limit=_limit(proved.limit, proved.kind) if proved.limit else None,
        state=proved.state or None,
        meter=proved.meter or None,
        to=proved.to or None,
        red_on=proved.red_on or None,
        removed=proved.removed,
        range=parse_quantity(proved.range, proved.kind or None) if proved.range else None,
        four_wire=proved.four_wire,
    )


def _limit(text: str, kind: str) -> Limit:
    try:
        return parse_limit(text, kind or None)
    except MisuseError:
        # A limit in the unit of another kind is kept where it is written, and has a rule of its own.
        return parse_limit(text)


def _failures(one: Facts, bench: Bench, since: Day, until: Day) -> Iterator[Failure]:
    for trial in one.trials:
        if trial.result == "fail" and since <= trial.day <= until:
            yield Failure(trial.day, one.id, trial.run)
    for proved in one.proof:
        if since <= proved.day <= until and _is_out(proved, one, bench):
            yield Failure(proved.day, one.id, f"{proved.point} {proved.kind}")


def _is_out(proved: ProofRow, one: Facts, bench: Bench) -> bool:
    return verdict_word(reading_of(proved), bench, bench.designs.get(one.design)) == "out"
