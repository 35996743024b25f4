"""Facts say what the job says: each of their fields what the field of its name does, and no other."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from functools import reduce
from itertools import combinations
from typing import Any, NamedTuple

import pytest

from jobkit.book.read.job import read_job
from jobkit.jobs.asof import job_as_of
from jobkit.jobs.digest import facts_of
from jobkit.jobs.job import Dates, Job
from jobkit.jobs.sorts import ENTRIES, Sort
from jobkit.units.limit import Limit
from jobkit.units.quantity import Quantity
from tests.schema.filled import filled

JOB = read_job("jobs/2026/K26-0047.toml", filled("job")).job
FACTS = facts_of(JOB)
LISTS = frozenset(name for name, value in FACTS._asdict().items() if isinstance(value, tuple))
"""Lists are looked at by themselves."""


class Made(NamedTuple):
    """A row of facts, the record it was made of, and the fields that have another name in the record."""

    row: Any
    record: Any
    fields: dict[str, str]


def _of_the_job() -> dict[str, str]:
    """Tell where in a job each plain field of its facts stands: under its own name, or as table_field."""
    named = {"kind", "design", "serial", "place", "known_good"}
    fields = {name: f"board.{name}" for name in named} | {name: f"dates.{name}" for name in Dates._fields}
    for name in FACTS._fields:
        table = name.partition("_")[0]
        if table in {"comeback", "cause", "invoice", "price", "warranty"}:
            fields[name] = name.replace("_", ".", 1)
    return fields | {
        "fate": "fate.what", "owner_agreed": "fate.owner_agreed",
        "price_if_not": "price.if_not_repaired", "warranty_from": "warranty.counted_from",
        "missing": "intake.missing",
    }  # fmt: skip


def _rows() -> Iterator[Made]:
    price = JOB.price
    assert price
    yield Made(FACTS, JOB, _of_the_job())
    yield Made(FACTS.waits[0], JOB.waits[0], {})
    yield Made(FACTS.work[0], JOB.work[0], {"day": "at", "time": "at.time", "row": "path"})
    yield Made(FACTS.used[0], JOB.used[0], {"day": "at"})
    yield Made(FACTS.trials[0], JOB.trials[0], {"day": "at"})
    yield Made(FACTS.proof[0], JOB.readings[0], {"day": "at", "row": "path", "value": "shown"})
    yield Made(FACTS.price_lines[0], price.lines[0], {})
    yield Made(FACTS.payments[0], price.payments[0], {"day": "on"})
    yield Made(FACTS.credits[0], price.credits[0], {"day": "on"})
    yield Made(FACTS.discounts[0], price.discounts[0], {})
    yield Made(FACTS.refunds[0], price.refunds[0], {"day": "on"})


def wrong(made: Made) -> Iterator[str]:
    """Yield each field of a row that does not say what its record does."""
    for name in _plain_fields(made):
        value = reduce(getattr, made.fields.get(name, name).split("."), made.record)
        value = value() if callable(value) else value
        if _said(getattr(made.row, name)) != _said(value):
            yield name


def _plain_fields(made: Made) -> list[str]:
    """Name the fields that are neither lists nor worked out of all days."""
    lists = LISTS if made.record is JOB else ()
    return [name for name in made.row._fields if name not in {*lists, "last_day", "last_done"}]


def _said(value: Any) -> Any:
    if isinstance(value, (Quantity, Limit)):
        return value.text
    if isinstance(value, date):
        return value.isoformat()[:10]
    if isinstance(value, frozenset):
        return tuple(sorted(value))
    if isinstance(value, tuple) and not hasattr(value, "_fields"):
        return float(value[1]) if value[:1] in {("reading",), ("work",)} else value
    try:
        return float(str(value))
    except ValueError:
        return str(value)


MADE = list(_rows())
IDS = [type(one.row).__name__ for one in MADE]


@pytest.mark.parametrize("made", MADE, ids=IDS)
def test_each_field_says_what_the_job_does(made: Made) -> None:
    assert list(wrong(made)) == []


@pytest.mark.parametrize("made", MADE, ids=IDS)
def test_whichever_two_fields_change_places_it_is_noticed(made: Made) -> None:
    for one, other in combinations(_plain_fields(made), 2):
        values = getattr(made.row, one), getattr(made.row, other)
        if values == (True, True):  # two flags that are both set cannot be told apart
            continue
        row = made.row._replace(**{one: values[1], other: values[0]})
        assert [*wrong(made._replace(row=row))], f"{one} and {other}"


def test_lists_of_pairs_say_what_the_job_does() -> None:
    assert JOB.price
    assert FACTS.price_agreed == tuple((str(one.on), str(one.amount)) for one in JOB.price.agreements)
    assert FACTS.waives == tuple((one.rule, one.about) for one in JOB.waivers)


DAYS = [
    *(("dates", name) for name in Dates._fields),
    ("warranty", "void_on"),
    *((*sort.path, key) for sort in ENTRIES for key in (sort.day, sort.end) if key),
]


def _with(path: tuple[str, ...], day: str) -> Job:
    """Read the job with another day, or moment, in one place."""
    doc = filled("job")
    table: Any = doc
    for name in path[:-1]:
        table = table[name][0] if isinstance(table[name], list) else table[name]
    table[path[-1]] = f"{day}T10:00:00" if "T" in table[path[-1]] else day
    return read_job(JOB.path, doc).job


@pytest.mark.parametrize("path", DAYS, ids=".".join)
def test_every_day_named_counts_for_the_last_one(path: tuple[str, ...]) -> None:
    facts = facts_of(_with(path, "2031-05-04"))
    assert facts.last_day == "2031-05-04"
    assert (facts.last_done == "2031-05-04") == (path != ("dates", "promised"))


@pytest.mark.parametrize("sort", [sort for sort in ENTRIES if sort.day], ids=lambda sort: sort.name)
def test_an_entry_is_not_there_before_its_day(sort: Sort) -> None:
    job = _with((*sort.path, sort.day), "2031-05-04")
    assert sort.of(job_as_of(job, date(2031, 5, 3))) == ()
    assert sort.of(job_as_of(job, date(2031, 5, 4))) == sort.of(job)


@pytest.mark.parametrize("sort", [sort for sort in ENTRIES if sort.end], ids=lambda sort: sort.name)
def test_an_entry_has_not_ended_before_its_last_day(sort: Sort) -> None:
    job = _with((*sort.path, sort.end), "2031-05-04")
    (open_,) = sort.of(job_as_of(job, date(2031, 5, 3)))
    assert sort.value(open_, sort.end) is None
    assert sort.of(job_as_of(job, date(2031, 5, 4))) == sort.of(job)
