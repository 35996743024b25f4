"""Thermocouple logs that a call names: where they are, what they are checked against, how long reading takes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

import click

from jobkit.book.logs.thermocouple import read_heat_log
from jobkit.cli.bench.log_named import EntryLog, Naming, entry_log, read_log, temperature
from jobkit.cli.bench.log_options import Stated, log_options
from jobkit.jobs.entries import Work
from jobkit.jobs.settings import LogHabit
from jobkit.named_tuple import NamedTuple
from jobkit.pages.bench.heat_data import Curve, HeatView
from jobkit.reckon.heat.figures import WINDOW
from jobkit.reckon.heat.heating import Placed, heating_of, not_in_the_log, placed
from jobkit.reckon.heat.package_limits import Body, Maximum, classification
from jobkit.reckon.heat.profile_check import Conditions, check_heating
from jobkit.reckon.heat.solder import solder_named
from jobkit.reckon.heat.summary import summarise_heating
from jobkit.reckon.heat.work_log import conditions_of
from jobkit.units.errors import MisuseError
from jobkit.units.quantity import Quantity, parse_span
from jobkit.units.verdict import Decision

_NAMED = re.compile(r"\s*([^=]+?)\s*=\s*(.+?)\s*")
_POINTS = 300

_NAMING: Naming[Work] = Naming(
    lambda job: job.work,
    lambda work: work.heat,
    "work",
    "thermocouple log",
    'write heat = "heat.csv" under its [[work]], or name the file',
)


class Texts(NamedTuple):
    """The options of a call as they were written."""

    probes: Sequence[str] = ()
    ratings: Sequence[str] = ()
    units: Sequence[str] = ()
    alloy: str | None = None
    did: str | None = None
    accuracy: str | None = None
    window: float = WINDOW


class Told(NamedTuple):
    """What the options of the call say; each is empty where nothing is said."""

    probes: Mapping[str, str]
    ratings: Mapping[str, Quantity]
    units: Mapping[str, str]
    unit: str
    alloy: str | None
    did: str | None
    accuracy: Quantity | None
    window: float
    log: Stated

    @classmethod
    def read(cls, texts: Texts, log: Stated) -> Told:
        """Read the options; raises MisuseError."""
        if not 1 <= texts.window <= 600:
            raise MisuseError(f"--window cannot be {texts.window:g}", "give seconds, from 1 to 600")
        named = [text for text in texts.units if "=" in text]
        return cls(
            dict(_named(texts.probes, "--probe", "t1=U5 joint")),
            {part: temperature(text) for part, text in map(_rating, texts.ratings)},
            dict(_named(named, "--unit", "t1=°F")),
            next((text.strip() for text in texts.units if "=" not in text), ""),
            texts.alloy,
            texts.did,
            parse_span(texts.accuracy, "temperature") if texts.accuracy else None,
            texts.window,
            log,
        )


def look_at(ctx: click.Context, books: list[str] | None, name: str, told: Told) -> HeatView:
    """Read a log and check it; raises MisuseError for a log that cannot be used."""
    found = entry_log(ctx, books, name, _NAMING)
    habit = found.book.bench.settings.logs.get("heat", LogHabit()) if found.book else LogHabit()
    options = log_options(told.log, habit, ("time",), is_open=True)
    options = options._replace(units={**options.units, **told.units}, unit=told.unit)
    heating = heating_of(read_log(found.path, read_heat_log, options), told.window)
    given = _given(found, told)
    places = {**(dict(found.entry.probe) if found.entry else {}), **told.probes}
    columns = placed(heating, places, given.part)
    return HeatView(
        found.path.name,
        heating,
        columns,
        check_heating(columns, given),
        summarise_heating(columns, given),
        tuple((one.probe.column, _curve(one)) for one in columns if one.readings),
        _source(found),
        given.part,
        given.did,
        given.solder_name,
        found.entry.near if found.entry else (),
        told.window,
        not_in_the_log(heating, places),
        found.entry.at if found.entry else None,
    )


def _given(found: EntryLog[Work], told: Told) -> Conditions:
    """Say what a log is checked against: the book's, and what the call says in its place."""
    if found.entry and found.job and found.book:
        given = conditions_of(found.entry, found.job, found.book.bench)
    else:
        decision = found.book.bench.settings.decision if found.book else Decision("guarded")
        policy = found.book.bench.settings.heat if found.book else Conditions().policy
        given = Conditions(decision=decision, policy=policy)
    if told.alloy:
        solder = solder_named(told.alloy, given.policy.solders)
        given = given._replace(solder=solder, solder_name=told.alloy)
    if told.accuracy:
        given = given._replace(policy=given.policy._replace(accuracy=told.accuracy))
    own = {part: one for part, value in told.ratings.items() if (one := _maximum(value))}
    rest = {part: one for part, one in own.items() if part}
    return given._replace(
        did=told.did or given.did,
        ratings={**({} if "" in own else given.ratings), **rest},
        any_rating=own.get("", given.any_rating),
    )


def _maximum(value: Quantity) -> Maximum | None:
    found = classification([Body(value)], leaded=False)
    return found._replace(source="--classified") if found else None


def _source(found: EntryLog[Work]) -> str:
    if not found.entry or not found.job:
        return ""
    at = f" of {found.entry.at:%Y-%m-%d %H:%M}" if found.entry.at else ""
    others = dict.fromkeys(one.heat for one in found.job.work if one.heat and one.heat != found.entry.heat)
    more = f"; its other logs: {', '.join(str(name) for name in others)}" if others else ""
    return f"{found.job.id}, {' '.join(filter(None, (found.entry.did, found.entry.part)))}{at}{more}"


def _curve(one: Placed) -> Curve:
    """Take as many points of a thermocouple as a drawing needs, its peak among them."""
    readings = one.readings
    assert readings is not None
    step = max(1, len(readings.times) // _POINTS)
    rows = sorted({*range(0, len(readings.times), step), len(readings.times) - 1, readings.peak_row})
    return tuple((round(readings.times[row], 3), round(readings.values[row], 2)) for row in rows)


def _rating(text: str) -> tuple[str, str]:
    """Split a rating into part and temperature; without a part it is for all."""
    part, mark, rating = text.partition("=")
    return (part.strip(), rating.strip()) if mark else ("", text.strip())


def _named(texts: Sequence[str], option: str, example: str) -> Iterator[tuple[str, str]]:
    seen: set[str] = set()
    for text in texts:
        found = _NAMED.fullmatch(text)
        if found is None:
            raise MisuseError(f'{option} cannot be "{text}"', f'write it like "{example}"')
        if found[1].casefold() in seen:
            raise MisuseError(f"{option} names {found[1]} twice", "name each column once")
        seen.add(found[1].casefold())
        yield found[1], found[2]
