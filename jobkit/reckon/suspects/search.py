"""The search for the fault of a job: its suspects in order, and the checks to make next."""

from __future__ import annotations

from collections.abc import Sequence

from jobkit.jobs.bench import Bench
from jobkit.jobs.job import Job
from jobkit.reckon.suspects.before_power import ColdState, cold_state
from jobkit.reckon.suspects.candidates import Candidate
from jobkit.reckon.suspects.injection import with_what_warms
from jobkit.reckon.suspects.network import in_order
from jobkit.reckon.suspects.next_check import (
    WORTH_BITS,
    Gain,
    Result,
    gain_of,
    results_of,
    sets_worth_looking_at,
)
from jobkit.reckon.suspects.past_causes import PastJob
from jobkit.reckon.suspects.possible_checks import PossibleCheck, possible_checks
from jobkit.reckon.suspects.ranking import Search, is_affected, probabilities, rank


def search(job: Job, bench: Bench, past: Sequence[PastJob] = ()) -> Search:
    """Rank the possible causes of a job, and find the checks that tell most in a minute."""
    found = rank(job, bench, past)
    cold = cold_state(job, bench)
    observed = {one.symptom.subject for one in found.findings}
    checks = _telling(possible_checks(job, bench, observed, cold.to_read), found)
    gains = _gains(checks, found, cold)
    powered = tuple(one for one in gains if one.check.state == "powered" and not cold.allows_power)
    now = tuple(one for one in gains if one not in powered)
    return found._replace(cold=cold, next=now, held_back=powered, results=_results(found, now))


def _telling(checks: Sequence[PossibleCheck], found: Search) -> list[PossibleCheck]:
    """Leave out of checks what no cause affects, and checks of which nothing is left."""
    telling = []
    for check in (_made_whole(one, found) for one in checks):
        affected = tuple(one for one in check.symptoms if is_affected(one, found.candidates))
        if affected or check.wanted:
            telling.append(check._replace(symptoms=affected or check.symptoms))
    return telling


def _made_whole(check: PossibleCheck, found: Search) -> PossibleCheck:
    """Give an injection what it can show, which depends on what was found so far."""
    if not check.injects:
        return check
    return with_what_warms(check, found.observations.counted, found.candidates, found.design)


def _gains(checks: Sequence[PossibleCheck], found: Search, cold: ColdState) -> tuple[Gain, ...]:
    """Return what each check tells, the best first: those that can be made now, then those that need power later.

    What reads too near its limit is read again before all else; what was not read yet comes right behind the best one.
    """
    sets, causes = sets_worth_looking_at(found.posterior, checks), found.candidates
    every = (gain_of(check, sets, _survives(check, causes)) for check in checks)
    gains = [one for one in every if one.bits >= WORTH_BITS or one.check.wanted]
    ordered = sorted(gains, key=lambda gain: (-in_order(gain.per_minute), gain.check.minutes))
    now = [one for one in ordered if one.check.state != "powered" or cold.allows_power]
    wanted = [one for one in now if one.check.wanted]
    near = {one.point for one in cold.near}
    again = [one for one in wanted if one.check.point in near]
    return tuple(dict.fromkeys([*again, *now[:1], *wanted, *now, *ordered]))


def _results(found: Search, gains: Sequence[Gain]) -> tuple[Result, ...]:
    """Return what each result of the first check would mean."""
    if not gains:
        return ()
    first = gains[0].check
    sets = sets_worth_looking_at(found.posterior, [first])
    return tuple(results_of(first, sets, _survives(first, found.candidates)))


def _survives(check: PossibleCheck, causes: Sequence[Candidate]) -> list[list[float]]:
    return [[1 - p for p in probabilities(one, causes)] for one in check.symptoms]
