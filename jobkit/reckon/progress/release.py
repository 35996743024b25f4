"""What must be proved before a board may be sent, and what of it has been.

Only what was done after the last soldering counts: a picture on arrival says nothing of the part fitted since.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from decimal import Decimal
from typing import NamedTuple, Protocol, TypeVar

from jobkit.jobs.bench import Bench
from jobkit.jobs.entries import Trial
from jobkit.jobs.job import Job
from jobkit.jobs.manner import last_proof_rows
from jobkit.jobs.settings import Proof
from jobkit.reckon.heat.warm import is_soldered
from jobkit.reckon.readings.limits import known_verdict_word
from jobkit.reckon.readings.of_job import quick_verdicts


class _Dated(Protocol):
    @property
    def at(self) -> datetime | None: ...


_Entry = TypeVar("_Entry", bound=_Dated)


class Step(NamedTuple):
    """One step of the proof policy: its name, whether it is done, what still lacks, and which entries show it.

    A step shown by a trial also tells which `run` that is, for how many `minutes` where the policy says so, and
    whether it goes on `alone` once it is started: of all that is proved, the load run does.
    """

    name: str
    done: bool
    lacks: str = ""
    shown_by: str = ""
    run: str = ""
    minutes: Decimal | None = None
    alone: bool = False


def release_steps(job: Job, bench: Bench) -> tuple[Step, ...]:
    """List the steps of the bench's proof policy for this kind of board and outcome, in its order.

    Cold resistances are proof readings within their limits, functions and load runs are trials passed, and the last
    steps are entries of work that name them in `what`. Only a board that is to be used again has to be proved.
    """
    policy = bench.settings.proof_for(job.board.kind, job.outcome)
    if policy is None or job.outcome in {"beyond-repair", "declined"}:
        return ()
    since = max((work.at for work in job.work if work.at and is_soldered(work)), default=None)
    runs = last_trials(_after(since, job.trials))
    return (
        *_cold(policy, job, bench, since),
        *_functions(policy, runs),
        *_load(policy, runs),
        *_last(policy, job, since),
    )


def last_trials(trials: Iterable[Trial]) -> dict[str, Trial]:
    """Keep the last trial of each run: by time, and in the order written where there is none."""
    last: dict[str, Trial] = {}
    for trial in trials:
        known = last.get(trial.run or "")
        if known is None or known.at is None or trial.at is None or known.at <= trial.at:
            last[trial.run or ""] = trial
    return last


def _after(since: datetime | None, entries: tuple[_Entry, ...]) -> tuple[_Entry, ...]:
    return entries if since is None else tuple(entry for entry in entries if _is_after(since, entry))


def _is_after(since: datetime | None, entry: _Dated) -> bool:
    return since is None or entry.at is None or entry.at >= since


def _cold(policy: Proof, job: Job, bench: Bench, since: datetime | None) -> Iterator[Step]:
    design = bench.designs.get(job.board.design or "")
    cold = [
        one
        for one in quick_verdicts(job, bench)
        if one.reading.kind == "resistance" and one.reading.state == "cold" and _is_after(since, one.reading)
    ]
    proofs = [cold[row] for row in last_proof_rows(tuple(one.reading for one in cold))]
    for point in policy.cold_resistance:
        words = [known_verdict_word(one, bench, design) for one in proofs if one.reading.point == point]
        lacks = "outside its limit" if "out" in words else "" if words else "not read"
        yield Step(f"{point} resistance, cold", not lacks, lacks, "reading")


def _functions(policy: Proof, runs: dict[str, Trial]) -> Iterator[Step]:
    for run in policy.function:
        lacks = "not tried" if run not in runs else _not_passed(runs[run])
        yield Step(run, not lacks, lacks, "trial", run)


def _load(policy: Proof, runs: dict[str, Trial]) -> Iterator[Step]:
    if policy.load_run is None:
        return
    wanted = policy.load_minutes or Decimal(0)
    run = runs.get(policy.load_run)
    lacks = "not run" if run is None else _not_passed(run)
    ran = run.minutes or Decimal(0) if run else Decimal(0)
    if not lacks and ran < wanted:
        lacks = f"ran only {ran} min"
    name = f"{policy.load_run}, {wanted} min"
    yield Step(name, not lacks, lacks, "trial", policy.load_run, policy.load_minutes, alone=True)


def _not_passed(trial: Trial) -> str:
    return "" if trial.result == "pass" else f"last result: {trial.result}"


def _last(policy: Proof, job: Job, since: datetime | None) -> Iterator[Step]:
    done = {(work.what or "").casefold() for work in _after(since, job.work)}
    for step in policy.last:
        lacks = "" if step.casefold() in done else "not done"
        yield Step(step, not lacks, lacks, "work")
