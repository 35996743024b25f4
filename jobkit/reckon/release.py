"""What must be proved before a board may be sent, and what of it has been."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import NamedTuple

from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import last_proofs
from jobkit.jobs.job import Job
from jobkit.jobs.settings import Proof
from jobkit.reckon.limits import verdict_of


class Step(NamedTuple):
    """One step of the proof policy: its name, whether it is done, and what still lacks."""

    name: str
    done: bool
    lacks: str = ""


def release_steps(job: Job, bench: Bench) -> tuple[Step, ...]:
    """List the steps of the bench's proof policy for this kind of board and outcome, in its order.

    Cold resistances are proof readings within their limits, functions and load runs are trials passed, and the last
    steps are entries of work that name them in `what`. Only a board that is to be used again has to be proved.
    """
    policy = bench.settings.proof_for(job.board.kind, job.outcome)
    if policy is None or job.outcome in {"beyond-repair", "declined"}:
        return ()
    return (*_cold(policy, job, bench), *_functions(policy, job), *_load(policy, job), *_last(policy, job))


def _cold(policy: Proof, job: Job, bench: Bench) -> Iterator[Step]:
    design = bench.designs.get(job.board.design or "")
    proofs = [one for one in last_proofs(job.readings) if one.kind == "resistance" and one.state == "cold"]
    for point in policy.cold_resistance:
        verdicts = [verdict_of(one, bench, design) for one in proofs if one.point == point]
        outside = any(verdict and verdict.word == "out" for verdict in verdicts)
        lacks = "" if verdicts and not outside else "outside its limit" if outside else "not read"
        yield Step(f"{point} resistance, cold", not lacks, lacks)


def _functions(policy: Proof, job: Job) -> Iterator[Step]:
    for run in policy.function:
        results = [trial.result for trial in job.trials if trial.run == run]
        lacks = "" if results[-1:] == ["pass"] else f"last result: {results[-1]}" if results else "not tried"
        yield Step(run, not lacks, lacks)


def _load(policy: Proof, job: Job) -> Iterator[Step]:
    if policy.load_run is None:
        return
    wanted = policy.load_minutes or Decimal(0)
    runs = [trial for trial in job.trials if trial.run == policy.load_run]
    name = f"{policy.load_run}, {wanted} min"
    if not runs:
        yield Step(name, done=False, lacks="not run")
    elif runs[-1].result != "pass":
        yield Step(name, done=False, lacks=f"last result: {runs[-1].result}")
    else:
        ran = runs[-1].minutes or Decimal(0)
        yield Step(name, ran >= wanted, "" if ran >= wanted else f"ran only {ran} min")


def _last(policy: Proof, job: Job) -> Iterator[Step]:
    done = {(work.what or "").casefold() for work in job.work}
    for step in policy.last:
        yield Step(step, step.casefold() in done, "" if step.casefold() in done else "not done")
