"""What the log of a trial shows, and whether it bears out what the trial says."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from decimal import Decimal
from functools import cache
from posixpath import normpath

from jobkit.book.logs.trouble import LogTrouble
from jobkit.jobs.bench import Bench
from jobkit.jobs.contents import trouble_of
from jobkit.jobs.entries import Trial
from jobkit.jobs.job import Job
from jobkit.jobs.job_folder import attachment_path
from jobkit.jobs.memoise import memoise_last
from jobkit.jobs.settings import LoadProof, LogHabit
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.load_run.check import Check, Conditions, check_run, worst_of
from jobkit.reckon.load_run.run import Run, run_of
from jobkit.units.limit import Limit
from jobkit.units.phrase import Figure, Typed, joined, phrase

_LEEWAY = Decimal("0.98")
"""A log may be shorter than what was written down by 2 % and by one row: a watch is not started with the load."""


class Evidence(NamedTuple):
    """What the log of a trial shows; without a `run` the log could not be used, and `trouble` says why."""

    trial: Trial
    run: Run | None = None
    trouble: str = ""
    checks: tuple[Check, ...] = ()

    @property
    def word(self) -> str:
        """The verdict of the log: in, out, near; "" where nothing was checked or something could not be."""
        return worst_of(self.checks)

    @property
    def worst(self) -> tuple[Check, ...]:
        """The checks that make the verdict what it is."""
        return tuple(check for check in self.checks if check.word == self.word)

    @property
    def is_short(self) -> bool:
        """Tell whether the log shows fewer minutes under load than the trial says."""
        if self.run is None or self.trial.minutes is None:
            return False
        shown = self.run.minutes + self.run.interval / 60
        return shown < float(self.trial.minutes * _LEEWAY)

    @property
    def lacks(self) -> str:
        """Say why the log does not bear out a pass; "" where it does."""
        if self.trouble:
            return phrase("its log cannot be used: {why}", why=self.trouble)
        if self.word == "out":
            return phrase("the log shows {checks}", checks=self._worst_words)
        if self.checks and not self.word:
            return phrase("not checked: {checks}", checks=self._worst_words)
        if self.is_short and self.run:
            return phrase("the log shows {minutes} min under load", minutes=f"{self.run.minutes:.0f}")
        return ""

    @property
    def _worst_words(self) -> str:
        return joined("; ", map(check_words, self.worst))


@memoise_last
def evidence_in(job: Job, bench: Bench) -> tuple[Evidence, ...]:
    """Read the logs of all trials of a job."""
    found = (evidence_of(trial, job, bench) for trial in job.trials)
    return tuple(one for one in found if one)


def evidence_of(trial: Trial, job: Job, bench: Bench) -> Evidence | None:
    """Read the log of a trial and check it; None for a trial without a log, or where no files are at hand.

    It is checked against the trial's own limits, and against the bench's for this kind of board where the trial is the
    loaded run that the bench asks for. A log of a trial that is neither is none of a loaded run.
    """
    asked = load_proof(trial, job, bench)
    limits = limits_of(trial, asked)
    if trial.log is None or not (limits or asked):
        return None
    path = normpath(attachment_path(job.path, trial.log))
    found = bench.contents.made_of(path, run_reader(bench))
    if found is None:
        is_missing = bench.contents.are_at_hand
        return Evidence(trial, trouble=trouble_of(path, bench.contents)) if is_missing else None
    if isinstance(found, LogTrouble):
        return Evidence(trial, trouble=found.in_book("load"))
    conditions = Conditions(trial.ambient, dict(asked.accuracy) if asked else {}, bench.settings.decision)
    return Evidence(trial, found, "", check_run(found, limits, conditions))


def load_proof(trial: Trial, job: Job, bench: Bench) -> LoadProof | None:
    """Give what the bench asks of the loaded run of this kind of board; None where the trial is another run."""
    policy = bench.settings.proof_for(job.board.kind, job.outcome)
    return policy.load if policy and policy.load and policy.load.run == trial.run else None


def limits_of(trial: Trial, asked: LoadProof | None) -> Mapping[str, Limit]:
    """Give the limits of a trial by sensor: the bench's, with the trial's own in their place."""
    return {**dict(asked.limit if asked else ()), **dict(trial.limit)}


def run_reader(bench: Bench) -> Callable[[bytes], Run | LogTrouble]:
    """Give what describes a load log from its bytes, read as bench.toml says."""
    return _reader(bench.settings.logs.get("load", LogHabit()))


@cache
def _reader(habit: LogHabit) -> Callable[[bytes], Run | LogTrouble]:
    """Return the one function that reads logs of a habit, so that what it made of a file is remembered."""
    return lambda content: run_of_content(content, habit)


def run_of_content(content: bytes, habit: LogHabit = LogHabit()) -> Run | LogTrouble:  # noqa: B008 - never changed
    """Describe a load log from its bytes."""
    # Most jobs name no log.
    from jobkit.book.logs.kept import kept_options  # noqa: PLC0415
    from jobkit.book.logs.load import read_load_log  # noqa: PLC0415

    log = read_load_log(io.BytesIO(content), kept_options(habit))
    if isinstance(log, LogTrouble):
        return log
    return run_of(log) or LogTrouble(0, "the log has a header and no rows")


def check_words(check: Check) -> str:
    """Say in a phrase what a check found.

    >>> from jobkit.units.limit import parse_limit
    >>> check_words(Check("memory", "", None, parse_limit("<= 95 °C"), None, "the log has no such sensor"))
    'memory: the log has no such sensor'
    """
    if check.value is None or not check.word:
        return phrase("{what}: {why}", what=Typed(check.name), why=check.why)
    words = phrase(
        "{sensor} {value}, limit {limit}"
        if check.limit
        else "{value} in the column {sensor}, where none is allowed",
        sensor=Typed(check.name),
        value=Figure(check.value.text),
        limit=Figure(check.limit.text if check.limit else ""),
    )
    return phrase("{check} ({why})", check=words, why=check.why) if check.why else words
