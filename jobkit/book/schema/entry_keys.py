"""What the schemas say of the keys of a table: their form, their choices, and what they are for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from jobkit.book.schema.schema_files import conditions, reference, resolved, schema
from jobkit.named_tuple import NamedTuple
from jobkit.units.kinds import KINDS

BESIDE = "beside"
"""The kind of a quantity that goes by the key `kind` of its own table."""

_FORMS = {
    "money": "money",
    "unit_price": "unit price",
    "date": "day",
    "time": "moment",
    "duration": "duration",
    "percentage": "percentage",
    "job_id": "job",
    "limit": "limit",
}
_BY_TYPE = {"number": "number", "integer": "number", "boolean": "flag", "string": "text"}
_FOR_EDITORS = frozenset(("", "const", "table", "tables", "lists", "history"))
"""Forms that no word can give."""


class Key(NamedTuple):
    """One key of a table.

    `form` is text, texts, choice, number, numbers (one, or one for each name), flag, quantity, quantities, money, unit
    price, percentage, day, moment, duration, job, limit, pairs (names with values of the form `of`), photos, lists (of
    values of the form `of`), table, tables or history (a value, or tables with their first days); const for the format
    of the file, "" for what is the bench's own. `kind` is that of a quantity or limit:
    BESIDE where the table's own `kind` tells, "" where the unit does. `about` and `example` are the schema's words,
    and `default` is what the key means where it is left out.
    """

    name: str
    form: str
    about: str
    required: bool = False
    choices: tuple[str, ...] = ()
    kind: str = ""
    of: str = ""
    example: str = ""
    default: str = ""


@cache
def keys_of(path: tuple[str, ...]) -> tuple[Key, ...]:
    """List the keys of a table of a job file that words can give, such as those of ("work",); () is the top."""
    return tuple(key for key in all_keys("job", path) if key.form not in _FOR_EDITORS)


@cache
def all_keys(kind: str, path: tuple[str, ...]) -> tuple[Key, ...]:
    """List every key of a table of a kind of file, such as ("job", ("price", "agreed"))."""
    rules = _table(kind, path)
    required = rules.get("required", ())
    beside = _by_kind(rules)
    return tuple(
        _key(kind, name, part, required=name in required, beside=name in beside)
        for name, part in rules["properties"].items()
    )


def every_key(kind: str, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], Key]]:
    """Go through all keys of all tables of a kind of file, each with its path; "*" means any name."""
    for key in all_keys(kind, path):
        yield (*path, key.name), key
        if key.form in {"table", "tables", "history"}:
            yield from every_key(kind, (*path, key.name))
        elif key.form == "pairs" and key.of == "table":
            yield from every_key(kind, (*path, key.name, "*"))


def about(kind: str, path: tuple[str, ...], key: str = "") -> str:
    """Say in the schema's words what a table of a kind of file, or a key of it, is."""
    rules = _table(kind, path)
    said: str = (rules["properties"][key] if key else rules)["description"]
    return said


def _table(kind: str, path: tuple[str, ...]) -> Mapping[str, Any]:
    rules: Mapping[str, Any] = schema(kind)
    for name in path:
        part = rules["additionalProperties"] if name == "*" else rules["properties"][name]
        rules = resolved(kind, part.get("items", part))
    return rules


def _by_kind(rules: Mapping[str, Any]) -> frozenset[str]:
    """Name the keys whose unit goes by the table's `kind`: its conditions tell, and a limit always does."""
    told = (one for one in conditions(rules) if "kind" in one["if"].get("properties", ()))
    named = {name for one in told for name in one["then"].get("properties", ())}
    properties = rules.get("properties", {})
    if {*properties.get("kind", {}).get("enum", ())} & KINDS.keys():
        named.update(name for name, part in properties.items() if reference(part) == "limit")
    return frozenset(named)


def _key(kind: str, name: str, part: Mapping[str, Any], *, required: bool, beside: bool) -> Key:
    form, of_kind, of = _form(kind, part)
    if beside:
        form, of_kind = {"limit": "limit", "texts": "quantities"}.get(form, "quantity"), BESIDE
    examples = part.get("examples") or ("",)
    return Key(
        name,
        form,
        part.get("description", ""),
        required,
        tuple(resolved(kind, part).get("enum", ())),
        of_kind,
        of,
        _example(examples[0]),
        str(part.get("default", "")),
    )


def _example(value: Any) -> str:
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)


def _form(kind: str, part: Mapping[str, Any]) -> tuple[str, str, str]:
    """Tell form, kind of quantity, and form of the values of pairs and lists."""
    ref = reference(part)
    if ref.removesuffix("_reading") in KINDS:
        return "quantity", ref.removesuffix("_reading"), ""
    meant = resolved(kind, part)
    if ref in _FORMS or "properties" in meant:
        return _FORMS.get(ref, "table"), "", ""
    if "const" in meant:
        return "const", "", ""
    if "items" in meant:
        is_history = isinstance(meant["type"], list)
        return ("history", "", "") if is_history else _of_many(kind, meant["items"])
    if isinstance(meant.get("additionalProperties"), Mapping):
        form = "numbers" if meant["type"] != "object" else "pairs"
        return form, "", _form(kind, meant["additionalProperties"])[0]
    return ("choice" if "enum" in meant else _BY_TYPE.get(meant.get("type", ""), "")), "", ""


def _of_many(kind: str, items: Mapping[str, Any]) -> tuple[str, str, str]:
    if reference(items) == "photo":
        return "photos", "", ""
    of = _form(kind, items)[0]
    return {"table": "tables", "text": "texts"}.get(of, "lists"), "", of
