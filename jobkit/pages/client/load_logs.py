"""What the logs of loaded runs show, beside their limits: for the client's paper and the page of a job."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from jobkit.jobs.entries import Trial
from jobkit.jobs.job import Job
from jobkit.pages.blocks import Block, Line, Table, filled
from jobkit.pages.forms.data import Data, measured, number
from jobkit.pages.forms.load_figures import figure
from jobkit.reckon.load_run.check import OVER_AMBIENT, Check
from jobkit.reckon.load_run.run import plain_name
from jobkit.reckon.load_run.trial import Evidence
from jobkit.units.written import plain_digits

_WORDS = {"in": "within", "near": "too close to the limit to tell", "out": "outside", "": "not checked"}
_HEADS = ("run", "sensor", "settled at", "highest", "limit", "verdict")


def log_blocks(evidence: Sequence[Evidence]) -> Iterator[Block]:
    """Show run by run what each limited sensor reached."""
    labels = _labels([one.trial for one in evidence])
    rows = [row for one, label in zip(evidence, labels, strict=True) for row in _rows(one, label)]
    if rows:
        yield filled(Table(_HEADS, rows, right=("settled at", "highest")))
    if any(row[2] for row in rows):
        yield Line("Settled at: the mean over the last third of the run, if the sensor no longer moved.")


def trial_label(trial: Trial) -> str:
    """Name a trial by its run and its minutes.

    >>> trial_label(Trial((), run="picture"))
    'picture'
    """
    minutes = f"{plain_digits(trial.minutes)} min" if trial.minutes else ""
    return ", ".join(filter(None, (trial.run, minutes)))


def unchecked_limits(trial: Trial) -> str:
    """Say the limits of a trial that no log bears out; "" for none."""
    limits = ", ".join(f"{sensor} {limit.text}" for sensor, limit in trial.limit)
    return f"not checked against a log: {limits}" if limits else ""


def trials_data(job: Job, evidence: Sequence[Evidence]) -> list[Data]:
    """Give the trials of a job, each with what its log shows."""
    by_place = {one.trial.path: one for one in evidence}
    return [
        {
            "at": trial.at.isoformat() if trial.at else None,
            "run": trial.run,
            "minutes": None if trial.minutes is None else number(trial.minutes),
            "result": trial.result,
            "repeats": number(trial.repeats),
            "host": trial.host,
            "supply": trial.supply,
            "driver": trial.driver,
            "ambient": measured(trial.ambient),
            "cold_start": trial.cold_start,
            "limits": {sensor: limit.text for sensor, limit in trial.limit},
            "log": _evidence_data(by_place.get(trial.path)),
        }
        for trial in job.trials
    ]


def _evidence_data(evidence: Evidence | None) -> Data | None:
    """Give what the log of a trial shows; null where there is none."""
    if evidence is None:
        return None
    return {
        "verdict": evidence.word or None,
        "minutes": round(evidence.run.minutes, 2) if evidence.run else None,
        "trouble": evidence.trouble or None,
        "checks": [
            {
                "name": check.name,
                "place": check.figure or None,
                "value": measured(check.value),
                "limit": check.limit.text if check.limit else None,
                "verdict": check.word or None,
            }
            for check in evidence.checks
        ],
    }


def _labels(trials: Sequence[Trial]) -> list[str]:
    """Name trials so that each has a name of its own."""
    times = Counter(map(trial_label, trials))
    return [
        f"{label} ({trial.at:%m-%d %H:%M})" if times[label] > 1 and trial.at else label
        for trial, label in zip(trials, map(trial_label, trials), strict=True)
    ]


def _rows(evidence: Evidence, label: str) -> Iterator[tuple[str, ...]]:
    if evidence.trouble:
        yield label, "", "", "", "", f"the log cannot be used: {evidence.trouble}"
        return
    if not evidence.checks and evidence.run:
        yield label, "", "", "", "", f"{evidence.run.minutes:.0f} min in the log, no limits"
    for place, check in enumerate(evidence.checks):
        yield label if not place else "", *_row(evidence, check)


def _row(evidence: Evidence, check: Check) -> tuple[str, ...]:
    """Say the settled and the highest value of a sensor; of a rise over the room, what was checked."""
    limit = check.limit.text if check.limit else "no errors"
    words = _WORDS[check.word] + (f": {check.why}" if check.why else "")
    rise = plain_name(check.name).endswith(OVER_AMBIENT)
    sensor = evidence.run.sensor(check.name) if evidence.run and not rise else None
    if sensor is None or sensor.errors is not None:
        value = figure(float(check.value.value), check.value.unit) if check.value else ""
        return check.name, "", value, limit, words
    settled = "" if sensor.settled is None else figure(sensor.settled, sensor.unit)
    highest = figure(sensor.highest, sensor.unit)
    if check.figure == "lowest":
        highest = f"{figure(sensor.lowest, sensor.unit)} to {highest}"
    return check.name, settled, highest, limit, words
