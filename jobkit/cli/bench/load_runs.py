"""Load logs that a call names: where they are, which limits they are checked against, how long reading takes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

import click

from jobkit.book.logs.load import read_load_log
from jobkit.book.read.facts import all_facts
from jobkit.book.read.load import OpenBook, open_book
from jobkit.book.read.lookup import design_named
from jobkit.cli.bench.log_named import file_or_job, job_of_file, read_log
from jobkit.cli.bench.log_options import Stated, log_options
from jobkit.cli.call.options import one_book
from jobkit.cli.call.shelves import shelf_of
from jobkit.jobs.digest import facts_of
from jobkit.jobs.entries import Trial
from jobkit.jobs.job import Job
from jobkit.jobs.job_folder import attachment_path
from jobkit.jobs.load_log import LoadLog
from jobkit.jobs.settings import LogHabit
from jobkit.pages.bench.load_data import LoadView
from jobkit.reckon.load_run.ambient import ambient_of, per_watt
from jobkit.reckon.load_run.check import Conditions, check_run
from jobkit.reckon.load_run.courses import Course
from jobkit.reckon.load_run.curve import course_of
from jobkit.reckon.load_run.run import Run, run_of, series_of
from jobkit.reckon.load_run.trial import limits_of, load_proof
from jobkit.reckon.load_run.usual_under_load import AgainstUsual, against_usual_load, usual_under_load
from jobkit.units.errors import MisuseError
from jobkit.units.limit import Limit, parse_limit
from jobkit.units.quantity import Quantity, parse_quantity
from jobkit.units.sensor_accuracy import SensorAccuracy, parse_sensor_accuracy
from jobkit.units.verdict import Decision

_NAMED = re.compile(r"\s*([^=<>≤≥]+?)\s*(=(?!=)|(?=[<>≤≥]))\s*(.+?)\s*")
_COURSE = 20


class Told(NamedTuple):
    """What the options of the call say."""

    limits: Mapping[str, Limit]
    accuracy: Mapping[str, SensorAccuracy]
    units: Mapping[str, str]
    share: float
    design: str | None = None
    log: Stated = Stated()

    @classmethod
    def read(
        cls,
        limits: Sequence[str],
        accuracy: Sequence[str],
        units: Sequence[str],
        dip: int,
        design: str | None,
        log: Stated,
    ) -> Told:
        """Read the options; raises MisuseError."""
        return cls(
            {name: parse_limit(text) for name, text in _named(limits, "--limit", "hot spot <= 95 °C")},
            {
                name: parse_sensor_accuracy(text)
                for name, text in _named(accuracy, "--accuracy", "hot spot = 2 °C")
            },
            dict(_named(units, "--unit", "core = °F")),
            dip / 100,
            design,
            log,
        )


class Found(NamedTuple):
    """A log: its file, the trial that names it, and the book that has both, where there are such."""

    path: Path
    trial: Trial | None = None
    job: Job | None = None
    book: OpenBook | None = None


def look_at(
    ctx: click.Context, books: list[str] | None, name: str, told: Told, rooms: Sequence[str]
) -> LoadView:
    """Read a log and check it; raises MisuseError for a log that cannot be used."""
    found = _find(ctx, books, name)
    log = _read(found, told)
    run = run_of(log, told.share)
    if run is None:
        raise MisuseError(f"{name}: the log has no rows", "check how it was saved")
    room = ambient_of(run, _temperature(rooms[0]) if rooms else found.trial.ambient if found.trial else None)
    asked = (
        load_proof(found.trial, found.job, found.book.bench)
        if found.trial and found.job and found.book
        else None
    )
    limits = told.limits or (limits_of(found.trial, asked) if found.trial else {})
    accuracy = {**dict(asked.accuracy if asked else ()), **told.accuracy}
    decision = found.book.bench.settings.decision if found.book else Decision("guarded")
    watts = {one.name: watts for one in run.sensors if (watts := per_watt(run, one, room)) is not None}
    courses = {
        column.name: course_of(series_of(log, column), min(_COURSE, run.rows)) for column in log.columns
    }
    checks = check_run(run, limits, Conditions(room, accuracy, decision))
    design = _design(found, told.design)
    against = _against(found, design, run, room)
    source, drawn = (
        _source(told, found),
        [Course(one.name, one.unit, series_of(log, one)) for one in log.columns],
    )
    return LoadView(found.path.name, run, checks, source, room, watts, courses, design, against, drawn)


def _design(found: Found, asked: str | None) -> str:
    """Name the design whose good boards a run is compared with; "" for none."""
    if asked is None:
        return (found.job.board.design or "") if found.job else ""
    if found.book is None:
        raise MisuseError("--design needs a book", "name one with --book")
    return design_named(found.book.bench, asked).name


def _against(found: Found, design: str, run: Run, room: Quantity | None) -> tuple[AgainstUsual, ...]:
    if found.book is None or not design:
        return ()
    own = facts_of(found.job) if found.job else None
    learned = usual_under_load(design, all_facts(found.book), found.book.bench, own)
    return against_usual_load(run, room, learned)


def _find(ctx: click.Context, books: list[str] | None, name: str) -> Found:
    """Find a log by its file, or by the job whose last trial with a log it is of."""
    named_log = file_or_job(ctx, books, name)
    if isinstance(named_log, Path):
        found = _of_file(named_log)
        if found.book or not (books or ctx.obj):
            return found
        return Found(named_log, book=open_book(shelf_of(one_book(ctx, books))))
    root, book, job = named_log
    trial = _last([one for one in job.trials if one.log] if job else [])
    if job is None or trial is None or trial.log is None:
        raise MisuseError(
            f"no trial of {name} names a log", 'write log = "load.csv" under its [[trial]], or name the file'
        )
    return Found(root / attachment_path(job.path, trial.log), trial, job, book)


def _of_file(path: Path) -> Found:
    """See whether a file is the log of a trial: then its limits are there."""
    beside = job_of_file(path)
    if beside is None:
        return Found(path)
    trials = beside.job.trials if beside.job else ()
    return Found(path, _last([one for one in trials if one.log == path.name]), beside.job, beside.book)


def _last(trials: Sequence[Trial]) -> Trial | None:
    return max(trials, key=lambda one: one.at.isoformat() if one.at else "", default=None)


def _read(found: Found, told: Told) -> LoadLog:
    path = found.path
    habit = found.book.bench.settings.logs.get("load", LogHabit()) if found.book else LogHabit()
    options = log_options(told.log, habit, ("time",), is_open=True)
    options = options._replace(units={**options.units, **told.units})
    return read_log(path, read_load_log, options)


def _source(told: Told, found: Found) -> str:
    if told.limits:
        return "--limit"
    if not found.trial or not found.job:
        return ""
    at = f" of {found.trial.at:%Y-%m-%d %H:%M}" if found.trial.at else ""
    return f"{found.job.id}, {found.trial.run or 'trial'}{at}"


def _temperature(text: str) -> Quantity:
    """Read the temperature of the room; a bare number is in °C."""
    bare = re.fullmatch(r"[+\-−]?[0-9]+(?:[.,][0-9]+)?", text.strip())
    return parse_quantity(f"{bare[0].replace(',', '.')} °C" if bare else text.strip(), "temperature")


def _named(texts: Sequence[str], option: str, example: str) -> Iterator[tuple[str, str]]:
    for text in texts:
        found = _NAMED.fullmatch(text)
        if found is None:
            raise MisuseError(f'{option} cannot be "{text}"', f'write it like "{example}"')
        yield found[1], found[3]
