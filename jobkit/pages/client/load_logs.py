"""What the logs of loaded runs show, beside their limits: for the client's paper and the page of a job."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from jobkit.jobs.entries import Trial
from jobkit.jobs.job import Job
from jobkit.pages.blocks import Block, Line, Table, filled
from jobkit.pages.forms.data import Data, measured, number
from jobkit.pages.forms.load_figures import figure
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.reckon.load_run.check import OVER_AMBIENT, Check
from jobkit.reckon.load_run.run import plain_name
from jobkit.reckon.load_run.trial import Evidence
from jobkit.units.phrase import phrase

VERDICTS = {
    "in": phrase("within"),
    "near": phrase("too close to the limit to tell"),
    "out": phrase("outside"),
    "": phrase("not checked"),
}
"""The verdict of a log in words."""

_HEADS = (
    phrase("run"),
    phrase("sensor"),
    phrase("settled at"),
    phrase("highest"),
    phrase("limit"),
    phrase("verdict"),
)


def log_blocks(evidence: Sequence[Evidence], lang: Language = ENGLISH) -> Iterator[Block]:
    """Show run by run what each limited sensor reached."""
    labels = _labels([one.trial for one in evidence], lang)
    rows = [row for one, label in zip(evidence, labels, strict=True) for row in _rows(one, label, lang)]
    if rows:
        heads = [lang.say(head) for head in _HEADS]
        yield filled(Table(heads, rows, right=heads[2:4]))
    if any(row[2] for row in rows):
        yield Line(
            lang.say("Settled at: the mean over the last third of the run, if the sensor no longer moved.")
        )


def trial_label(trial: Trial, lang: Language = ENGLISH) -> str:
    """Name a trial by its run and its minutes.

    >>> trial_label(Trial((), run="picture"))
    'picture'
    """
    minutes = lang.say("{minutes} min", minutes=trial.minutes) if trial.minutes else ""
    return ", ".join(filter(None, (lang.own(trial.run), minutes)))


def unchecked_limits(trial: Trial, lang: Language = ENGLISH) -> str:
    """Say the limits of a trial that no log bears out; "" for none."""
    limits = ", ".join(f"{lang.own(sensor)} {lang.figure(limit.text)}" for sensor, limit in trial.limit)
    return lang.say("not checked against a log: {limits}", limits=limits) if limits else ""


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


def _labels(trials: Sequence[Trial], lang: Language) -> list[str]:
    """Name trials so that each has a name of its own."""
    labels = [trial_label(trial, lang) for trial in trials]
    times = Counter(labels)
    return [
        f"{label} ({trial.at:%m-%d %H:%M})" if times[label] > 1 and trial.at else label
        for trial, label in zip(trials, labels, strict=True)
    ]


def _rows(evidence: Evidence, label: str, lang: Language) -> Iterator[tuple[str, ...]]:
    if evidence.trouble:
        yield label, "", "", "", "", lang.say("the log cannot be used: {why}", why=evidence.trouble)
        return
    if not evidence.checks and evidence.run:
        minutes = f"{evidence.run.minutes:.0f}"
        yield label, "", "", "", "", lang.say("{minutes} min in the log, no limits", minutes=minutes)
    for place, check in enumerate(evidence.checks):
        yield label if not place else "", *_row(evidence, check, lang)


def _row(evidence: Evidence, check: Check, lang: Language) -> tuple[str, ...]:
    """Say the settled and the highest value of a sensor; of a rise over the room, what was checked."""
    limit = lang.figure(check.limit.text) if check.limit else lang.say("no errors")
    words = lang.say(VERDICTS[check.word]) + (f": {lang.text(check.why)}" if check.why else "")
    name = lang.own(check.name)
    rise = plain_name(check.name).endswith(OVER_AMBIENT)
    sensor = evidence.run.sensor(check.name) if evidence.run and not rise else None
    if sensor is None or sensor.errors is not None:
        value = check.value
        return name, "", _figure(float(value.value), value.unit, lang) if value else "", limit, words
    settled = "" if sensor.settled is None else _figure(sensor.settled, sensor.unit, lang)
    highest = _figure(sensor.highest, sensor.unit, lang)
    if check.figure == "lowest":
        lowest = _figure(sensor.lowest, sensor.unit, lang)
        highest = lang.say("{lowest} to {highest}", lowest=lowest, highest=highest)
    return name, settled, highest, limit, words


def _figure(value: float, unit: str, lang: Language) -> str:
    if unit == "errors":
        return lang.say("{count} errors", count=f"{value:g}")
    return lang.figure(figure(value, unit))
