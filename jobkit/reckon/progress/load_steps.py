"""The loaded runs of the proof policy: which are done, and on what that rests."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from jobkit.jobs.bench import Bench
from jobkit.jobs.entries import Trial
from jobkit.jobs.job import Job
from jobkit.jobs.settings import LoadProof
from jobkit.reckon.load_run.trial import Evidence, check_words, evidence_of
from jobkit.reckon.progress.step import ReleaseStep
from jobkit.reckon.progress.trials import not_passed, passes_in_a_row
from jobkit.units.phrase import Typed, joined, phrase

ON_WORD = phrase("on the technician's word")
ON_LOG = phrase("shown by its log")


def load_steps(
    asked: LoadProof | None, trials: tuple[Trial, ...], job: Job, bench: Bench
) -> Iterator[ReleaseStep]:
    """Yield a step for each loaded run that is asked for: passed one after the other, none failed in between."""
    if asked is None:
        return
    left, lacking = _believed(passes_in_a_row(trials, asked.run), job, bench)
    lacking = lacking or not_passed(trials, asked.run, phrase("not run"))
    for minutes in asked.runs:
        name = phrase("{run}, {minutes} min", run=Typed(asked.run), minutes=minutes) if minutes else asked.run
        lacks, basis = lacking or phrase("not run again"), ""
        while left:
            lacks, basis = _lacks(left.pop(0), minutes, asked, job, bench)
            if not lacks:
                break
        yield ReleaseStep(name, not lacks, lacks, "trial", asked.run, minutes, alone=True, basis=basis)


def _believed(passed: tuple[Trial, ...], job: Job, bench: Bench) -> tuple[list[Trial], str]:
    """Leave out what came up to the last trial whose log shows a limit exceeded: that one was not passed."""
    left, lacking = list(passed), ""
    for trial in passed:
        evidence = evidence_of(trial, job, bench)
        if evidence and evidence.word == "out":
            left, lacking = list(passed[passed.index(trial) + 1 :]), evidence.lacks
    return left, lacking


def _lacks(
    trial: Trial, minutes: Decimal | None, asked: LoadProof, job: Job, bench: Bench
) -> tuple[str, str]:
    """Say what a passed trial lacks to be this run, and if nothing, on what that rests."""
    ran = trial.minutes or Decimal(0)
    if minutes is not None and ran < minutes:
        return phrase("ran only {minutes} min", minutes=ran), ""
    missing = [name for name in asked.conditions if not getattr(trial, name)]
    if missing:
        conditions = joined(", ", (Typed(name.replace("_", " ")) for name in missing))
        return phrase("not written down: {conditions}", conditions=conditions), ""
    if asked.log and trial.log is None:
        return phrase("no log"), ""
    evidence = evidence_of(trial, job, bench)
    if evidence is None:
        return "", ON_WORD
    return evidence.lacks, "" if evidence.lacks else _basis(evidence)


def _basis(evidence: Evidence) -> str:
    """Say what a log bears out that contradicts nothing."""
    if not evidence.checks:
        return phrase("its log shows the time; there are no limits to check it against")
    near = [check_words(check) for check in evidence.worst if check.word == "near"]
    return phrase("shown by its log, near a limit: {checks}", checks=joined("; ", near)) if near else ON_LOG
