"""What the schema says of the keys of an entry: their form, their choices, and what they are for."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any, NamedTuple

from jobkit.book.schema.schema_files import schema
from jobkit.units.kinds import KINDS

_FORMS = {
    "money": "money",
    "date": "day",
    "time": "moment",
    "duration": "duration",
    "percentage": "percentage",
    "job_id": "job",
    "limit": "limit",
}
_BY_TYPE = {"number": "number", "boolean": "flag", "array": "texts", "string": "text"}


class Key(NamedTuple):
    """One key of a table.

    `form` is text, texts, choice, number, flag, quantity, money, percentage, day, moment, duration, job, limit, or
    pairs (names with values of the form `of`); `kind` is that of a quantity. `about` and `example` are the schema's
    words, and `default` is what the key means where it is left out.
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
    """List the keys of a table of a job file, such as ("work",) or ("price", "agreed"); () is the top of the file."""
    rules = _table(path)
    required = rules.get("required", ())
    found = (_key(name, part, required=name in required) for name, part in rules["properties"].items())
    return tuple(key for key in found if key is not None)


def _table(path: tuple[str, ...]) -> Mapping[str, Any]:
    rules: Mapping[str, Any] = schema("job")
    for name in path:
        part = rules["properties"][name]
        rules = _definition(_ref(part.get("items", part)))
    return rules


def _key(name: str, part: Mapping[str, Any], *, required: bool) -> Key | None:
    """Describe a key; None for one that holds tables, or what only an editor should change."""
    form, kind, of = _form(part)
    if not form:
        return None
    examples = part.get("examples") or ("",)
    return Key(
        name,
        form,
        part.get("description", ""),
        required,
        tuple(part.get("enum", ())),
        kind,
        of,
        str(examples[0]),
        str(part.get("default", "")),
    )


def _form(part: Mapping[str, Any]) -> tuple[str, str, str]:
    """Tell form, kind of quantity, and form of the values of pairs."""
    ref = _ref(part)
    if ref.removesuffix("_reading") in KINDS:
        return "quantity", ref.removesuffix("_reading"), ""
    if ref:
        return _FORMS.get(ref) or ("" if "properties" in _definition(ref) else "text"), "", ""
    if part.get("type") == "object":
        of = part.get("additionalProperties")
        return ("pairs", "", _form(of)[0]) if isinstance(of, dict) else ("", "", "")
    return _plain_form(part), "", ""


def _plain_form(part: Mapping[str, Any]) -> str:
    """Tell the form of a key that refers to no definition."""
    if "enum" in part:
        return "choice"
    of = part.get("type", "")
    if isinstance(of, list):  # a number, or numbers by name: those are for an editor
        return of[0] if of[0] in _BY_TYPE else ""
    return "" if of == "array" and _ref(part["items"]) else _BY_TYPE.get(of, "")


def _ref(part: Mapping[str, Any]) -> str:
    """Name the definition that a part refers to, itself or beside its description."""
    refers = part if "$ref" in part else next((one for one in part.get("allOf", ()) if "$ref" in one), {})
    return str(refers.get("$ref", "")).rpartition("/")[2]


def _definition(name: str) -> Mapping[str, Any]:
    found: Mapping[str, Any] = schema("job")["$defs"][name]
    return found
