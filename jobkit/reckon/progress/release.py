"""What must be proved before a board may be sent, and what of it has been.

Only what was done after the last soldering counts: a picture on arrival says nothing of the part fitted since.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from typing import Protocol, TypeVar

from jobkit.jobs.bench import Bench
from jobkit.jobs.entries import Trial
from jobkit.jobs.job import Job
from jobkit.jobs.manner import last_proof_rows
from jobkit.jobs.settings import Proof
from jobkit.reckon.heat.warm import is_soldered
from jobkit.reckon.memory.failing_channels import still_failing
from jobkit.reckon.progress.load_steps import load_steps
from jobkit.reckon.progress.step import ReleaseStep
from jobkit.reckon.progress.trials import not_passed, passes_in_a_row
from jobkit.reckon.readings.limits import known_verdict_word
from jobkit.reckon.readings.of_job import quick_verdicts
from jobkit.units.phrase import Typed, phrase

_MEMORY = "memory"
"""The word in the name of a memory test."""


class _Dated(Protocol):
    @property
    def at(self) -> datetime | None: ...


_Entry = TypeVar("_Entry", bound=_Dated)


def release_steps(job: Job, bench: Bench) -> tuple[ReleaseStep, ...]:
    """List the steps of the bench's proof policy for this kind of board and outcome, in its order.

    Cold resistances are proof readings within their limits, functions and load runs are trials passed, and the last
    steps are entries of work that name them in `what`. A load run that has a log is done only if its log bears it out.
    A memory test that found channels which were not tested again since has to be made again, whatever the policy asks
    for. Only a board that is to be used again has to be proved.
    """
    policy = bench.settings.proof_for(job.board.kind, job.outcome)
    if job.outcome in {"beyond-repair", "declined"}:
        return ()
    if policy is None:
        return (*_memory(job),)
    since = max((work.at for work in job.work if work.at and is_soldered(work)), default=None)
    trials = _after(since, job.trials)
    return (
        *_cold(policy, job, bench, since),
        *_functions(policy, trials),
        *_memory(job),
        *load_steps(policy.load, trials, job, bench),
        *_last(policy, job, since),
    )


def _after(since: datetime | None, entries: tuple[_Entry, ...]) -> tuple[_Entry, ...]:
    return entries if since is None else tuple(entry for entry in entries if _is_after(since, entry))


def _is_after(since: datetime | None, entry: _Dated) -> bool:
    return since is None or entry.at is None or entry.at >= since


def _cold(policy: Proof, job: Job, bench: Bench, since: datetime | None) -> Iterator[ReleaseStep]:
    design = bench.designs.get(job.board.design or "")
    cold = [
        one
        for one in quick_verdicts(job, bench)
        if one.reading.kind == "resistance"
        and one.reading.state == "cold"
        and one.reading.point in policy.cold_resistance
        and _is_after(since, one.reading)
    ]
    proofs = [cold[row] for row in last_proof_rows(tuple(one.reading for one in cold))]
    for point in policy.cold_resistance:
        words = [known_verdict_word(one, bench, design) for one in proofs if one.reading.point == point]
        lacks = phrase("outside its limit") if "out" in words else "" if words else phrase("not read")
        yield ReleaseStep(phrase("{point} resistance, cold", point=point), not lacks, lacks, "reading")


def _functions(policy: Proof, trials: tuple[Trial, ...]) -> Iterator[ReleaseStep]:
    for run in policy.function:
        times = policy.times(run)
        passed = sum(trial.repeats for trial in passes_in_a_row(trials, run))
        lacks = "" if passed >= times else not_passed(trials, run) or _too_few(passed, times)
        name = run if times == 1 else phrase("{run}, {times} times", run=Typed(run), times=times)
        yield ReleaseStep(name, not lacks, lacks, "trial", run)


def _too_few(passed: Decimal | int, times: int) -> str:
    return phrase("passed only {passed} of {times} times", passed=passed, times=times)


def _memory(job: Job) -> Iterator[ReleaseStep]:
    """Yield a memory test that found channels which were not tested again, and was not passed as a trial since."""
    tests = [one for one in job.seen if one.check and _MEMORY in one.check.casefold()]
    failed = still_failing(tests)
    at = max((one.at for one in tests if one.failed and one.at), default=None)
    later = (one for one in _after(at, job.trials) if _MEMORY in (one.run or "").casefold())
    if failed and not any(one.result == "pass" for one in later):
        lacks = phrase("failed when it was last made: {channels}", channels=", ".join(sorted(failed)))
        yield ReleaseStep(tests[-1].check or _MEMORY, done=False, lacks=lacks, shown_by="seen")


def _last(policy: Proof, job: Job, since: datetime | None) -> Iterator[ReleaseStep]:
    done = {(work.what or "").casefold() for work in _after(since, job.work)}
    for step in policy.last:
        lacks = "" if step.casefold() in done else phrase("not done")
        yield ReleaseStep(step, not lacks, lacks, "work")
