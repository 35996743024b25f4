"""What the schema says of the keys of an entry: their form, their choices, and what they are for."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any, NamedTuple

from jobkit.book.schema.schema_files import reference, resolved, schema
from jobkit.units.kinds import KINDS

_FORMS = {
    "money": "money",
    "date": "day",
    "time": "moment",
    "duration": "duration",
    "percentage": "percentage",
    "job_id": "job",
    "want": "want",
}
_BY_TYPE = {"number": "number", "boolean": "flag", "array": "texts", "string": "text"}


class Key(NamedTuple):
    """One key of a table.

    `form` is text, texts, choice, number, flag, quantity, money, percentage, day, moment, duration, job, want, or pairs
    (names with values of the form `of`); `kind` is that of a quantity. `about` and `example` are the schema's words.
    """

    name: str
    form: str
    about: str
    required: bool = False
    choices: tuple[str, ...] = ()
    kind: str = ""
    of: str = ""
    example: str = ""


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
        rules = resolved("job", part.get("items", part))
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
    )


def _form(part: Mapping[str, Any]) -> tuple[str, str, str]:
    """Tell form, kind of quantity, and form of the values of pairs."""
    ref = reference(part)
    if ref.removesuffix("_reading") in KINDS:
        return "quantity", ref.removesuffix("_reading"), ""
    if ref:
        return _FORMS.get(ref) or ("" if "properties" in resolved("job", part) else "text"), "", ""
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
    return "" if of == "array" and reference(part["items"]) else _BY_TYPE.get(of, "")
