"""Documents in which every key of a schema is given once, each with a value of its own.

Made from the schema, so that a key which is added tomorrow is in them too.
"""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from itertools import count
from typing import Any

from jobkit.units.kinds import KINDS
from tests.schema.schemas import Schema, resolved, schema

_FIRST = date(2026, 1, 1)
_BY_EXAMPLE = frozenset(
    (
        "client",
        "from",
        "rule",
        "letter",
        "rows",
        "zone",
        "country",
        "language",
        "currency",
        "off",
        "note-rules",
        "warn",
        "error",
        "moisture",
    )
)
"""Keys with a grammar of their own: the last of their examples is taken."""

_FITTING = {
    "kind": "resistance", "value": "{} Ω", "range": "{} Ω", "upto": "{} Ω", "step": "{} Ω", "lead": "{} Ω",
    "uncertainty": "{} Ω", "again": "{} Ω",
}  # fmt: skip
"""Values that must fit each other: those that go by `kind` are resistances."""


def filled(kind: str) -> dict[str, Any]:
    """Fill every key of a kind of file; the bench's own keys, which jobkit never reads, are left out."""
    whole = schema(kind)
    table: dict[str, Any] = _table(whole, whole, count(1))
    return table


def _table(part: Schema, whole: Schema, numbers: Iterator[int]) -> dict[str, Any]:
    return {
        key: _value(key, inner, whole, numbers) for key, inner in part["properties"].items() if key != "own"
    }


def _value(key: str, part: Schema, whole: Schema, numbers: Iterator[int]) -> Any:
    """Make a value that `part` accepts and that no other key has."""
    name = part.get("$ref", "").rpartition("/")[2]
    if name in _BY_NAME or name.removesuffix("_reading") in KINDS:
        return _named(key, name, next(numbers))
    examples, part = part.get("examples"), {**resolved(part, whole)}
    if key in _BY_EXAMPLE and examples and "enum" not in part:
        return examples[-1]
    if "properties" in part:
        return _table(part, whole, numbers)
    if "items" in part:  # a history is given as a list
        return [_value(key, part["items"], whole, numbers)]
    if isinstance(part.get("additionalProperties"), Mapping) and part["type"] == "object":
        return {f"{key} {next(numbers)}": _value(key, part["additionalProperties"], whole, numbers)}
    return _plain(key, part, next(numbers))


def _plain(key: str, part: Schema, number: int) -> Any:
    if "const" in part:
        return part["const"]
    if "enum" in part and key not in _FITTING:
        return next(one for one in reversed(part["enum"]) if one != part.get("default"))
    types = part["type"] if isinstance(part["type"], list) else [part["type"]]
    if types[0] == "boolean":
        return not part.get("default", False)
    if types[0] in {"number", "integer"}:
        return number if part.get("maximum", number) >= number else round(number / 1000, 3)
    return _FITTING.get(key, f"{key} {{}}").format(number)


def _named(key: str, name: str, number: int) -> Any:
    day = _FIRST + timedelta(number)
    if name in _BY_NAME:
        return _BY_NAME[name].format(number=number, tenth=number / 10, day=day, key=key)
    return f"{number} {KINDS[name.removesuffix('_reading')].unit}"


_BY_NAME = {
    "highest_resistance": "<= {number} Ω",
    "date": "{day}",
    "time": "{day}T10:00:00",
    "money": "{number}.00 EUR",
    "unit_price": "{number}.005 EUR",
    "percentage": "{tenth} %",
    "duration": "P{number}D",
    "job_id": "K26-{number:04}",
    "invoice_number": "K26-R-{number:04}",
    "design_name": "design-{number}",
    "rule_name": "{key}-rule",
    "attachment": "{key}-{number}.csv",
    "limit": ">= {number} Ω",
    "accuracy": "{number} °C",
    "temperature_span": "{number} °C",
    "temperature_limit": ">= {number} °C",
}
"""Values by the definition that they keep to."""


def exemplary(kind: str) -> dict[str, Any]:
    """Fill every key of a kind of file with the first of its examples."""
    whole = schema(kind)
    table: dict[str, Any] = _exemplary(whole, whole)
    return table


def _exemplary(part: Schema, whole: Schema) -> Any:
    if "examples" in part:
        return part["examples"][0]
    part = resolved(part, whole)
    if "items" in part:
        return [_exemplary(part["items"], whole)]
    return {key: _exemplary(inner, whole) for key, inner in part["properties"].items() if key != "own"}
