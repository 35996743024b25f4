"""The logs of loaded runs: whether they confirm what the trials say."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.bench import Bench
from jobkit.jobs.entries import Trial
from jobkit.jobs.job import Job
from jobkit.lint.registry import Found, log_rule, rule
from jobkit.lint.rules.entry_logs import EntryLog
from jobkit.reckon.load_run.trial import Evidence, check_words, evidence_in


@log_rule("error")
def trial_log_outside(job: Job, bench: Bench) -> Iterator[Found]:
    """A trial is called passed, and its log shows a limit exceeded.

    What it finds: a trial with `result = "pass"` whose log is outside one of its limits, or of the limits that
    bench.toml has for this kind of board, or counts errors. A temperature is checked by its highest value, a voltage by
    its lowest and highest, all else by its mean over the last third of the run.

    Why it matters: the report tells the client that the board was tested.

    How to fix: `jobkit load JOB` shows the log. Find out why, run it again and record the first run as failed; or
    correct a limit that is wrong.

    Example: `limit = { "hot spot" = "<= 95 °C" }`, `result = "pass"`, and a log that reaches 100 °C.
    """
    for evidence in _passed(job, bench):
        for check in evidence.checks:
            if check.word == "out":
                message = f'the trial "{evidence.trial.run}" is called passed, and its log shows {check_words(check)}'
                yield Found(
                    (*evidence.trial.path, "result"),
                    check.name,
                    message,
                    "run it again, or correct the result",
                )


@log_rule("warning")
def trial_log_short(job: Job, bench: Bench) -> Iterator[Found]:
    """The log of a trial shows fewer minutes under load than the trial claims.

    What it finds: a trial whose log, from the first to the last row under load, is shorter than its `minutes` by more
    than 2 % and one row. Pauses and time without rows do not count.

    Why it matters: a board that fails after half an hour passes a run of ten minutes.

    How to fix: correct `minutes`, name the right log, or run it again.

    Example: `minutes = 30` with a log of twelve minutes.
    """
    for evidence in _passed(job, bench):
        if evidence.is_short and evidence.run:
            shown = f"{evidence.run.minutes:.0f} min under load"
            message = f'the trial "{evidence.trial.run}" claims {evidence.trial.minutes} min, and its log shows {shown}'
            mend = "correct the minutes, or name the right log"
            yield Found((*evidence.trial.path, "minutes"), evidence.trial.run or "", message, mend)


@log_rule("warning")
def trial_log_unlike(job: Job, bench: Bench) -> Iterator[Found]:
    """The log of a trial does not fit the trial.

    What it finds: a limit for a sensor that the log does not have, or has in another unit; a limit of the rise over the
    room without a temperature of the room; a log that cannot be read; a log that was begun on another day than the
    trial.

    Why it matters: such a limit has not been checked, whatever the result says.

    How to fix: name the sensor as the log does, log it too, or remove the limit; add `ambient`; name the right log.

    Example: `limit = { memory = "<= 95 °C" }` with a log of core, hot spot and power.
    """
    for evidence in evidence_in(job, bench):
        trial = evidence.trial
        log = EntryLog((*trial.path, "log"), trial.log or "", "trial", trial.at, "run")
        if evidence.trouble:
            yield from log.unusable(evidence.trouble, "a log of the run")
            continue
        for check in evidence.checks:
            if not check.word and not (check.limit and check.limit.empty):  # limit-empty says that
                message = f"the limit for {check.name} is not checked: {check.why}"
                yield Found(
                    _limit_place(trial, check.name), check.name, message, "name the sensor as the log does"
                )
        if evidence.run:
            yield from log.of_another_day(evidence.run.begun, evidence.run.seconds)


def _limit_place(trial: Trial, sensor: str) -> tuple[str | int, ...]:
    own = {name for name, _ in trial.limit}
    return (*trial.path, "limit", sensor) if sensor in own else (*trial.path, "log")


@rule("warning")
def trial_log_twice(job: Job, _bench: Bench) -> Iterator[Found]:
    """Two trials name the same log.

    What it finds: a trial whose `log` an earlier trial of the job names too.

    Why it matters: one file shows one run, so the other trial has no evidence.

    How to fix: give each log its own name, such as load-1.csv and load-2.csv.

    Example: two trials with `log = "load.csv"`.
    """
    seen: set[str] = set()
    for trial in job.trials:
        if trial.log in seen:
            message = f"another trial names the log {trial.log} too"
            yield Found((*trial.path, "log"), trial.log, message, "give each log a name of its own")
        if trial.log:
            seen.add(trial.log)


def _passed(job: Job, bench: Bench) -> Iterator[Evidence]:
    return (evidence for evidence in evidence_in(job, bench) if evidence.trial.result == "pass")
