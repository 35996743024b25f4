"""Load logs that a call names: where they are, which limits they are checked against, how long reading takes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

import click

from jobkit.book.logs.load import read_load_log
from jobkit.book.read.facts import all_facts
from jobkit.book.read.lookup import design_named
from jobkit.cli.bench.log_named import EntryLog, Naming, entry_log, read_log, temperature
from jobkit.cli.bench.log_options import Stated, log_options
from jobkit.cli.call.progress import progress_bar
from jobkit.jobs.digest import facts_of
from jobkit.jobs.entries import Trial
from jobkit.jobs.load_log import LoadLog
from jobkit.jobs.settings import LogHabit
from jobkit.named_tuple import NamedTuple
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
from jobkit.units.quantity import Quantity
from jobkit.units.sensor_accuracy import SensorAccuracy, parse_sensor_accuracy
from jobkit.units.verdict import Decision

_NAMED = re.compile(r"\s*([^=<>≤≥]+?)\s*(=(?!=)|(?=[<>≤≥]))\s*(.+?)\s*")
_COURSE = 20

_NAMING: Naming[Trial] = Naming(
    lambda job: job.trials,
    lambda trial: trial.log,
    "trial",
    "log",
    'write log = "load.csv" under its [[trial]], or name the file',
)


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


def look_at(
    ctx: click.Context, books: list[str] | None, name: str, told: Told, rooms: Sequence[str]
) -> LoadView:
    """Read a log and check it; raises MisuseError for a log that cannot be used."""
    found = entry_log(ctx, books, name, _NAMING)
    log = _read(found, told)
    run = run_of(log, told.share)
    if run is None:
        raise MisuseError(f"{name}: the log has no rows", "check how it was saved")
    room = ambient_of(run, temperature(rooms[0]) if rooms else found.entry.ambient if found.entry else None)
    asked = (
        load_proof(found.entry, found.job, found.book.bench)
        if found.entry and found.job and found.book
        else None
    )
    limits = told.limits or (limits_of(found.entry, asked) if found.entry else {})
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


def _design(found: EntryLog[Trial], asked: str | None) -> str:
    """Name the design whose good boards a run is compared with; "" for none."""
    if asked is None:
        return (found.job.board.design or "") if found.job else ""
    if found.book is None:
        raise MisuseError("--design needs a book", "name one with --book")
    return design_named(found.book.bench, asked).name


def _against(
    found: EntryLog[Trial], design: str, run: Run, room: Quantity | None
) -> tuple[AgainstUsual, ...]:
    if found.book is None or not design:
        return ()
    own = facts_of(found.job) if found.job else None
    learned = usual_under_load(design, all_facts(found.book), found.book.bench, own, progress_bar)
    return against_usual_load(run, room, learned)


def _read(found: EntryLog[Trial], told: Told) -> LoadLog:
    path = found.path
    habit = found.book.bench.settings.logs.get("load", LogHabit()) if found.book else LogHabit()
    options = log_options(told.log, habit, ("time",), is_open=True)
    options = options._replace(units={**options.units, **told.units})
    return read_log(path, read_load_log, options)


def _source(told: Told, found: EntryLog[Trial]) -> str:
    if told.limits:
        return "--limit"
    if not found.entry or not found.job:
        return ""
    at = f" of {found.entry.at:%Y-%m-%d %H:%M}" if found.entry.at else ""
    return f"{found.job.id}, {found.entry.run or 'trial'}{at}"


def _named(texts: Sequence[str], option: str, example: str) -> Iterator[tuple[str, str]]:
    for text in texts:
        found = _NAMED.fullmatch(text)
        if found is None:
            raise MisuseError(f'{option} cannot be "{text}"', f'write it like "{example}"')
        yield found[1], found[3]
