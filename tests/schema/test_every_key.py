"""No key is lost between a file and its record, and none reaches the field of another.

Every key of every table is filled with a value of its own; the record must say that value in the field of the same
name, or in the one that is named here. A second test holds the first to its promise: whichever two fields of a record
change places, it notices.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date
from decimal import Decimal
from functools import reduce
from itertools import combinations
from typing import Any, NamedTuple

import pytest

from jobkit.book.read.bench import read_meters, read_settings, read_stock
from jobkit.book.read.board import read_design
from jobkit.book.read.job import read_job
from jobkit.jobs.duration import Duration
from jobkit.jobs.money import Money
from jobkit.units.limit import Limit
from jobkit.units.quantity import Quantity
from jobkit.units.sensor_accuracy import SensorAccuracy
from tests.schema.filled import filled

Doc = Mapping[str, Any]

FIELDS: Mapping[str, Mapping[str, str]] = {
    "job": {
        "wait": "waits", "reading": "readings", "inject": "injections", "pad": "pads", "trial": "trials",
        "waive": "waivers", "note": "notes", "message": "messages", "message with": "other", "message from": "sender",
        "intake from": "country", "wait for": "reason", "used from": "source",
        "price agreed": "agreements", "price line": "lines", "price payment": "payments", "price credit": "credits",
        "price discount": "discounts", "price refund": "refunds",
        "warranty from": "counted_from", "parcel in": "came_in", "parcel out": "went_out", "fate is": "what",
    },
    "board": {
        "design": "name", "rail": "rails", "point": "points", "package": "packages", "check": "checks",
        "cause": "causes", "point limit": "limits",
    },
    "meter": {
        "range": "ranges", "range percent": "accuracy.percent", "range counts": "accuracy.counts",
        "range step": "accuracy.step", "range ppm": "accuracy.ppm",
        "range percent_of_range": "accuracy.percent_of_range",
        "range uncertainty": "accuracy.certificate.uncertainty", "range k": "accuracy.certificate.k",
    },
    "item": {"lot": "lots"},
    "heat": {
        "cycles": "heat_cycles", "log": "heat.log", "accuracy": "heat.accuracy", "package": "heat.package",
    },
    "pads": {"limit": "pad_limit"},
    "warranty": {"from": "counted_from"},
}  # fmt: skip
"""Fields with another name than their key, by the kind of record and the tables and the key in it."""


class Read(NamedTuple):
    """A table that was filled, and the record that was made of it; `where` is its place among FIELDS."""

    kind: str
    doc: Doc
    record: Any
    where: str = ""


def _everything() -> Iterator[Read]:
    """Read one of every table; clients.toml is left out, of which a paper takes name and address and no more."""
    yield Read("job", filled("job"), _read(lambda doc: read_job("jobs/2026/K26-0047.toml", doc), "job"))
    design = _read(lambda doc: read_design("boards/a.toml", doc), "board")
    yield Read("board", _without(filled("board"), "format"), design)
    meters, items = _read(read_meters, "meters"), _read(read_stock, "stock")
    yield from (Read("meter", doc, meters[doc["name"]]) for doc in filled("meters")["meter"])
    yield from (Read("item", doc, items[name]) for name, doc in filled("stock")["item"].items())
    yield from _settings(filled("bench"), _read(read_settings, "bench"))


def _read(read: Callable[[dict[str, Any]], tuple[Any, tuple[Any, ...]]], kind: str) -> Any:
    record, troubles = read(filled(kind))
    assert troubles == ()
    return record


def _settings(doc: Doc, settings: Any) -> Iterator[Read]:
    tables = ("tax", "decision", "papers", "patience", "lint", "warranty")
    assert doc.keys() == {"format", "bench", "heat", "pads", "proof", "logs", "check", *tables}
    yield from (Read("logs", table, settings.logs[kind]) for kind, table in doc["logs"].items())
    yield from (Read(table, doc[table], settings) for table in ("bench", "pads"))
    yield Read("heat", _without(doc["heat"], "alloy"), settings)
    alloys = doc["heat"]["alloy"].items()
    yield from (
        Read("alloy", {"name": name, **table}, one)
        for (name, table), one in zip(alloys, settings.heat.solders, strict=True)
    )
    for check in doc["check"]:
        (known,) = (one for one in settings.checks_for(check["kind"]) if one.name == check["name"])
        yield Read("check", _without(check, "kind"), known)
    for table in tables:
        records = getattr(settings, table)
        if isinstance(doc[table], list):
            yield from (Read(table, entry, one) for entry, one in zip(doc[table], records, strict=True))
        else:
            yield Read(table, doc[table], records)
    for kind, steps in doc["proof"].items():
        outcomes = [key for key in steps if f"{kind} / {key}" in settings.proof]
        yield Read("proof", _without(steps, *outcomes), settings.proof[kind])
        for outcome in outcomes:
            yield Read("proof", steps[outcome], settings.proof[f"{kind} / {outcome}"])


def _without(doc: Doc, *keys: str) -> Doc:
    return {key: value for key, value in doc.items() if key not in keys}


def inner(read: Read, key: str) -> tuple[Read, ...]:
    """Give the tables below a key: one, or those of a list."""
    value, record = read.doc[key], _field(read, key)
    docs, records = (value, record) if isinstance(value, list) else ([value], (record,))
    if (
        not isinstance(records, tuple)
        or not isinstance(docs[0], dict)
        or not all(hasattr(one, "_fields") for one in records)
    ):
        return ()
    where = f"{read.where} {key}".strip()
    return tuple(Read(read.kind, doc, one, where) for doc, one in zip(docs, records, strict=True))


def every_table(read: Read) -> Iterator[Read]:
    """Yield a table and all those within it."""
    yield read
    for key in read.doc:
        for one in inner(read, key):
            yield from every_table(one)


def lost(read: Read) -> Iterator[str]:
    """Yield each key of a table, and of those within it, whose value is not in its field."""
    for key, value in read.doc.items():
        within = inner(read, key)
        if not within and _in_file(_field(read, key)) != _in_file(value):
            yield f"{read.where} {key}".strip()
        for one in within:
            yield from lost(one)


def _path(read: Read, key: str) -> str:
    return FIELDS.get(read.kind, {}).get(f"{read.where} {key}".strip(), key)


def _field(read: Read, key: str) -> Any:
    names = _path(read, key).split(".")
    return reduce(lambda holder, name: getattr(holder, name, None), names, read.record)


def _in_file(value: Any) -> Any:
    """Write a value as the file has it: lists as tuples, and names with values as a table."""
    if isinstance(value, (Quantity, Limit, SensorAccuracy)):
        return value.text
    if isinstance(value, (Money, Duration, bool)):
        return str(value)  # of a flag too, for True equals the number 1
    if isinstance(value, (Decimal, date)):
        return value.isoformat() if isinstance(value, date) else float(value)
    if isinstance(value, (list, tuple)):
        named = bool(value) and all(type(one) is tuple and len(one) == 2 for one in value)
        return _in_file(dict(value)) if named else tuple(map(_in_file, value))
    if isinstance(value, dict):
        return _in_file(value[""]) if "" in value else {key: _in_file(one) for key, one in value.items()}
    return float(value.removesuffix(" %")) if isinstance(value, str) and value.endswith(" %") else value


READ = [one for whole in _everything() for one in every_table(whole)]
IDS = [f"{one.kind} {one.where}".strip() for one in READ]


@pytest.mark.parametrize("read", READ, ids=IDS)
def test_every_key_reaches_its_own_field(read: Read) -> None:
    assert list(lost(read)) == []
    defaults = read.record._field_defaults
    unread = [
        key
        for key in read.doc
        if _path(read, key) in defaults and _field(read, key) == defaults[_path(read, key)]
    ]
    assert unread == []


@pytest.mark.parametrize("read", READ, ids=IDS)
def test_whichever_two_fields_change_places_it_is_noticed(read: Read) -> None:
    fields = {_path(read, key).partition(".")[0] for key in read.doc}
    for one, other in combinations(sorted(fields), 2):
        changed = {one: getattr(read.record, other), other: getattr(read.record, one)}
        assert [*lost(read._replace(record=read.record._replace(**changed)))], f"{one} and {other}"


def test_every_entry_knows_its_place() -> None:
    for kind, read in (("job", READ[0]), ("board", READ[IDS.index("board")])):
        for one in every_table(read):
            place = getattr(one.record, "path", None)
            if isinstance(place, tuple):
                assert reduce(lambda holder, key: holder[key], place, filled(kind)) == one.doc
