"""The columns of the exported tables: one or more for each key of the schema, each with its type.

A measured value is a number in the base unit (temperature °C) beside its unit and the text as written, a sum of money a
number beside its currency, and names with values are a list of pairs.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from jobkit.book.schema.entry_keys import Key, all_keys
from jobkit.jobs.money import Money
from jobkit.jobs.sorts import Sort
from jobkit.named_tuple import NamedTuple


def _pairs_of(kind: str) -> Mapping[str, Any]:
    name = {"description": "The name; empty where one value is for all.", "type": "string"}
    value = {"description": "The value.", "type": kind}
    pair = {"type": "object", "additionalProperties": False, "required": ["name", "value"]}
    return {"type": "array", "items": {**pair, "properties": {"name": name, "value": value}}}


TYPES: Mapping[str, Mapping[str, Any]] = {
    "text": {"type": ["string", "null"]},
    "number": {"type": ["number", "null"]},
    "flag": {"type": ["boolean", "null"]},
    "day": {"type": ["string", "null"], "format": "date"},
    "moment": {"type": ["string", "null"], "format": "date-time-local"},
    "texts": {"type": "array", "items": {"type": "string"}},
    "named texts": _pairs_of("string"),
    "named numbers": _pairs_of("number"),
    "always text": {"type": "string"},
    "always number": {"type": "number"},
    "always flag": {"type": "boolean"},
    "count": {"type": "integer"},
}
"""The types of columns, as JSON Schema has them."""


class Column(NamedTuple):
    """One column: its name, its type (of TYPES), what it says, and how that is taken from a record."""

    name: str
    type: str
    about: str
    of: Callable[[Any], Any]


BOOK = Column("book", "always text", "The name of the book, after its folder.", lambda _: None)
"""The first column of every table; the row gets it where the book is known."""


def amount_of(name: str, about: str, of: Callable[[Any], Money | None]) -> Iterator[Column]:
    """Make the two columns of a sum of money: the number, and its currency."""

    def number(record: Any) -> float | None:
        money = of(record)
        return float(money.amount) if money else None

    def currency(record: Any) -> str | None:
        money = of(record)
        return money.currency if money else None

    yield Column(name, "number", about, number)
    yield Column(f"{name}_currency", "text", "Its currency, ISO 4217.", currency)


def plain(value: Decimal | None) -> float | None:
    """Give a decimal as the number that every engine takes for a fractional one: 12 is written 12.0."""
    return None if value is None else float(value)


def iso(day: date | None) -> str | None:
    """Give a day as ISO 8601 has it."""
    return day.isoformat() if day else None


def columns_of(sort: Sort, prefix: str = "") -> Iterator[Column]:
    """Yield the columns of a table of a job in the order of its keys."""
    for key in all_keys("job", sort.path):
        for column in _FORMS[key.form](key):
            name = f"{prefix}{sort.field_of(key.name)}{column.name}"
            yield column._replace(name=name, of=_of_key(sort, key, column))


def _of_key(sort: Sort, key: Key, column: Column) -> Callable[[Any], Any]:
    """Take from a record what a column says of a key; null, or an empty list, where the key is not given."""
    missing: Any = [] if TYPES[column.type]["type"] == "array" else None

    def of(record: Any) -> Any:
        value = sort.value(record, key.name)
        return missing if value is None else column.of(value)

    return of


def _quantity(key: Key) -> Iterator[Column]:
    about = f"{key.about} In the base unit; null where the reading is open."
    yield Column("", "number", about, lambda found: None if found.open else float(found.value))
    yield Column("_unit", "text", "The base unit.", lambda found: found.unit)
    yield Column("_text", "text", "As written.", lambda found: found.text)


def _money(key: Key) -> Iterator[Column]:
    yield Column("", "number", key.about, lambda found: float(found.amount))
    yield Column("_currency", "text", "Its currency, ISO 4217.", lambda found: found.currency)


def _pairs(key: Key) -> Iterator[Column]:
    of_numbers = key.form == "numbers" or key.of == "number"
    said = float if of_numbers else lambda value: getattr(value, "text", value)
    kind = "named numbers" if of_numbers else "named texts"
    yield Column(
        "", kind, key.about, lambda pairs: [{"name": name, "value": said(one)} for name, one in pairs]
    )


def _photos(key: Key) -> Iterator[Column]:
    yield Column(
        "",
        "named texts",
        f"{key.about} The name is that of the file, the value its caption.",
        lambda photos: [{"name": photo.file, "value": photo.caption or ""} for photo in photos],
    )


def _one(kind: str, of: Callable[[Any], Any]) -> Callable[[Key], Iterator[Column]]:
    def columns(key: Key) -> Iterator[Column]:
        yield Column("", kind, key.about, of)

    return columns


_FORMS: Mapping[str, Callable[[Key], Iterator[Column]]] = {
    **dict.fromkeys(("", "const", "table", "tables"), lambda _key: iter(())),
    **dict.fromkeys(("text", "choice", "job", "duration"), _one("text", str)),
    "texts": _one("texts", list),
    "number": _one("number", float),
    "percentage": _one("number", float),
    "flag": _one("flag", bool),
    "day": _one("day", lambda day: day.isoformat()),
    "moment": _one("moment", lambda moment: moment.isoformat()),
    "limit": _one("text", lambda limit: limit.text),
    "quantity": _quantity,
    "quantities": _one("texts", lambda found: [one.text for one in found]),
    "money": _money,
    "unit price": _money,
    "photos": _photos,
    "pairs": _pairs,
    "numbers": _pairs,
}
"""The columns of each form of key."""
