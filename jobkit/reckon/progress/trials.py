"""Trials run by run: the last of each, and how many were passed in a row."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from jobkit.jobs.entries import Trial
from jobkit.jobs.memoise import memoise_last
from jobkit.units.phrase import phrase


@memoise_last
def in_order(trials: Iterable[Trial]) -> tuple[Trial, ...]:
    """Sort trials by time; one without a time stays behind the one that is written before it."""
    timed, last = [], datetime.min
    for trial in trials:
        last = trial.at or last
        timed.append((last, trial))
    return tuple(trial for _, trial in sorted(timed, key=lambda pair: pair[0]))


def last_trials(trials: Iterable[Trial]) -> dict[str, Trial]:
    """Keep the last trial of each run."""
    return {trial.run or "": trial for trial in in_order(trials)}


def passes_in_a_row(trials: Iterable[Trial], run: str) -> tuple[Trial, ...]:
    """Give the trials of a run that were passed since it last failed or was stopped, oldest first."""
    passed: list[Trial] = []
    for trial in in_order(trials):
        if trial.run == run:
            passed = [*passed, trial] if trial.result == "pass" else []
    return tuple(passed)


_NOT_TRIED = phrase("not tried")


def not_passed(trials: Iterable[Trial], run: str, not_tried: str = _NOT_TRIED) -> str:
    """Say why the last trial of a run shows nothing; "" where it was passed."""
    last = last_trials(trials).get(run)
    if last is None:
        return not_tried
    return _NOT_PASSED.get(last.result or "", "") if last.result != "pass" else ""


_NOT_PASSED = {
    "": phrase("last result: None"),
    "fail": phrase("last result: fail"),
    "stopped": phrase("last result: stopped"),
}
