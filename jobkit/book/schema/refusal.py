"""Say in plain words why a schema refuses a document."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from functools import cache, partial
from typing import Any

from jsonschema import Draft202012Validator
from jsonschema.exceptions import ValidationError
from jsonschema.validators import extend

from jobkit.book.schema.schema_files import FILES, schema
from jobkit.book.schema.trouble import Trouble
from jobkit.jobs.duration import parse_duration
from jobkit.jobs.finding import Place
from jobkit.jobs.money import parse_money, parse_unit_price
from jobkit.jobs.renamed import CHOICES, KEYS, renamed
from jobkit.units.errors import MisuseError
from jobkit.units.kinds import KINDS
from jobkit.units.most_alike import most_alike
from jobkit.units.quantity import parse_quantity
from jobkit.units.slip import either_quoted

_LONGEST = 60
_LEAST_LIKE = 0.6
_MOST_NEAR = 3
_MOST_KEYS = 100
"""So many unknown keys of a table are told one by one: a file with more is of another kind."""
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}(T[0-9:]+)?$")

_TYPES = {
    "string": "text in quotes",
    "integer": "a whole number",
    "number": "a number",
    "boolean": "true or false",
    "array": "a list in square brackets",
    "object": "a table",
}


class _Refusal:
    """One error of jsonschema, with the names and types this page needs."""

    def __init__(self, error: ValidationError) -> None:
        self.keyword = str(error.validator)
        self.place: Place = tuple(error.absolute_path)
        self.rules: Mapping[str, Any] = error.schema if isinstance(error.schema, Mapping) else {}
        self.wanted: Any = error.validator_value
        self.value: Any = error.instance
        self.message = error.message


_FORM_NAMES = {"date": "a date", "date-time-local": "a date and time"}


def refusals(kind: str, doc: dict[str, Any]) -> tuple[Trouble, ...]:
    """List all that the schema of `kind` refuses in `doc`, one trouble a place."""
    found: dict[Place, Trouble] = {}
    for error in map(_Refusal, _validator(kind).iter_errors(doc)):
        for trouble in _WORDS.get(error.keyword, _as_it_is)(error, error.place):
            found.setdefault(trouble.place, trouble)
    return tuple(found.values())


@cache
def _validator(kind: str) -> Draft202012Validator:
    return _Validator(schema(kind), format_checker=Draft202012Validator.FORMAT_CHECKER)


def _pattern(validator: Any, pattern: str, value: Any, _rules: object) -> Iterator[ValidationError]:
    """Hold a text to a pattern that ends in `$` as the gate does: no line feed may stand behind its end."""
    if validator.is_type(value, "string") and not re.search(rf"{pattern[:-1]}\Z", value):
        yield ValidationError(f"{value!r} does not match {pattern!r}")


_Validator: type[Draft202012Validator] = extend(  # type: ignore[no-untyped-call] # its types leave it out
    Draft202012Validator, {"pattern": _pattern}
)


def _unknown_keys(error: _Refusal, place: Place) -> Iterator[Trouble]:
    known = list(error.rules["properties"])
    unknown = [key for key in error.value if key not in known]
    shown = unknown if len(unknown) <= _MOST_KEYS + 1 else unknown[:_MOST_KEYS]
    for key in shown:
        free = [one for one in known if one not in error.value or _are_lists(error.value, key, one)]
        mend = renamed(key, KEYS, known) or nearest(key, free, f"the keys here are {', '.join(known)}")
        yield Trouble((*place, key), f'unknown key "{key}"{_inside(place)}', mend)
    if len(shown) < len(unknown):
        first, *more = unknown[len(shown) :]
        message = f'"{first}" and {len(more):,} more are unknown keys{_inside(place)} too'
        yield Trouble((*place, first), message, "correct or remove them", beside=tuple(more))


def _are_lists(value: Mapping[str, Any], *keys: str) -> bool:
    """Tell whether keys hold lists: the entries of one may belong to the other."""
    return all(isinstance(value[key], list) for key in keys)


def _missing_keys(error: _Refusal, place: Place) -> Iterator[Trouble]:
    # A key that is there under its old name is refused for that, not missed as well.
    there = {*error.value, *(KEYS.get(key) for key in error.value)}
    for key in error.wanted:
        if key not in there:
            example = _example(error.rules.get("properties", {}).get(key, {})) or _example_elsewhere(
                place, key
            )
            # At the top of a file what has no example is a table.
            mend = f"add {key} = {example}" if example else f"add {key if place else f'[{key}]'}"
            yield Trouble((*place, key), f'"{key}" is missing{_inside(place)}', mend)


def _example_elsewhere(place: Place, key: str) -> str:
    """Look for the example of a key that is required by a condition, apart from where it is described."""
    table = next((part for part in reversed(place) if isinstance(part, str)), "")
    described = (rules.get("properties", {}).get(key, {}) for name, rules in _definitions() if name == table)
    return next(filter(None, map(_example, described)), "")


def _wrong_type(error: _Refusal, place: Place) -> Iterator[Trouble]:
    table = place[-1] if place else ""
    if error.wanted == "array" and isinstance(error.value, dict):
        yield Trouble(place, f"[{table}] is one table, but the file needs a list", f"write [[{table}]]")
    elif error.wanted == "object" and isinstance(error.value, list):
        yield Trouble(place, f"[[{table}]] is a list, but the file needs one table", f"write [{table}]")
    else:
        message = f"{_key(place)} must be {_type_name(error)}, not {_shown(error.value)}"
        yield Trouble(place, message, such_as(error.rules))


def _type_name(error: _Refusal) -> str:
    form = str(error.rules.get("format", ""))
    wanted = error.wanted if isinstance(error.wanted, list) else [error.wanted]
    return _FORM_NAMES.get(form) or " or ".join(_TYPES.get(one, str(one)) for one in wanted)


def _no_choice(error: _Refusal, place: Place) -> Iterator[Trouble]:
    choices = [str(one) for one in error.wanted]
    mend = renamed(str(error.value), CHOICES, choices) or nearest(
        str(error.value), choices, f"choose one of {', '.join(choices)}"
    )
    yield Trouble(place, f"{_key(place)} cannot be {_shown(error.value)}", mend)


def _other_constant(error: _Refusal, place: Place) -> Iterator[Trouble]:
    wanted = _shown(error.wanted)
    yield Trouble(place, f"{_key(place)} cannot be {_shown(error.value)}", f"write {wanted}")


def _wrong_form(error: _Refusal, place: Place) -> Iterator[Trouble]:
    parse = _form(error.rules)
    if parse:
        try:
            parse(error.value)
        except MisuseError as misuse:
            yield Trouble(place, misuse.message, misuse.mend)
            return
    mend = _SOURCES if place[:1] == ("used",) and place[-1] == "from" else such_as(error.rules)
    yield Trouble(place, f"{_key(place)} cannot be {_shown(error.value)}", mend)


def _no_day(error: _Refusal, place: Place) -> Iterator[Trouble]:
    yield Trouble(
        place,
        f"{_key(place)}: {_shown(error.value)} is not a day of the calendar",
        "write a date such as 2026-10-19",
    )


def _too_small(error: _Refusal, place: Place) -> Iterator[Trouble]:
    bound = f"{'more than' if error.keyword == 'exclusiveMinimum' else 'at least'} {error.wanted}"
    mend = _TAKES_OFF if place[:2] == ("price", "line") else such_as(error.rules)
    yield Trouble(place, f"{_key(place)} must be {bound}, not {error.value}", mend)


_SOURCES = 'write "stock", "bought" or "client", or for a donor the id of its job, such as "K26-0012"'
_TAKES_OFF = "to take money off the bill, use [[price.discount]] or [[price.credit]]"


def _too_large(error: _Refusal, place: Place) -> Iterator[Trouble]:
    bound = f"{'less than' if error.keyword == 'exclusiveMaximum' else 'at most'} {error.wanted}"
    yield Trouble(place, f"{_key(place)} must be {bound}, not {error.value}", such_as(error.rules))


def _empty(error: _Refusal, place: Place) -> Iterator[Trouble]:
    yield Trouble(place, f"{_key(place)} is empty", such_as(error.rules) or "fill it in or remove the line")


def _twice(_error: _Refusal, place: Place) -> Iterator[Trouble]:
    yield Trouble(place, f"{_key(place)} has the same name twice", "use each name once")


def _not_here(_error: _Refusal, place: Place) -> Iterator[Trouble]:
    yield Trouble(place, f"{_key(place)} has no meaning here", "remove the line")


def _as_it_is(error: _Refusal, place: Place) -> Iterator[Trouble]:
    yield Trouble(place, f"{_key(place)}: {error.message}", such_as(error.rules))


_WORDS: Mapping[str, Callable[[_Refusal, Place], Iterator[Trouble]]] = {
    "additionalProperties": _unknown_keys,
    "required": _missing_keys,
    "type": _wrong_type,
    "enum": _no_choice,
    "const": _other_constant,
    "pattern": _wrong_form,
    "format": _no_day,
    "minimum": _too_small,
    "exclusiveMinimum": _too_small,
    "maximum": _too_large,
    "exclusiveMaximum": _too_large,
    "minLength": _empty,
    "minItems": _empty,
    "uniqueItems": _twice,
    "None": _not_here,
}


def _form(rules: Mapping[str, Any]) -> Callable[[str], object] | None:
    """Find the parser that explains best why a text has the wrong form."""
    name = next((name for name, known in _definitions() if known is rules), "")
    if name in _FORMS:
        return _FORMS[name]
    kind = name.removesuffix("_reading")
    return partial(parse_quantity, kind=kind) if kind in KINDS else None


def _definitions() -> Iterator[tuple[str, Mapping[str, Any]]]:
    for kind in FILES:
        yield from schema(kind).get("$defs", {}).items()


_FORMS: Mapping[str, Callable[[str], object]] = {
    "money": parse_money,
    "unit_price": parse_unit_price,
    "duration": parse_duration,
}


def _inside(place: Place) -> str:
    table = ".".join(key for key in place if isinstance(key, str))
    if not table:
        return ""
    return f" in [[{table}]]" if isinstance(place[-1], int) else f" in [{table}]"


def _key(place: Place) -> str:
    if not place:
        return "the file"
    if isinstance(place[-1], int):
        names = [key for key in place if isinstance(key, str)]
        return f"entry {place[-1] + 1} of {names[-1]}" if names else "an entry"
    return place[-1]


def nearest(word: str, known: list[str], else_say: str) -> str:
    """Say which of the known words was meant, all that are equally near; `else_say` is said where none is near."""
    near = most_alike(word.lower(), known, _LEAST_LIKE)[:_MOST_NEAR]
    return f"write {either_quoted(near)}" if near else else_say


def _shown(value: object) -> str:
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list) and any(isinstance(item, dict) for item in value):
        return "a list of tables"
    text = json.dumps(value, ensure_ascii=False, default=str)
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 3]}..."


def such_as(rules: Mapping[str, Any]) -> str:
    """Say how a value is written, by the example of the schema or its description."""
    example = _example(rules)
    return f"write it like {example}" if example else str(rules.get("description", "")).rstrip(".")


def _example(rules: Mapping[str, Any]) -> str:
    examples = rules.get("examples") or ()
    if not examples or isinstance(examples[0], dict):
        return ""
    # In TOML a date or time stands without quotes.
    bare = isinstance(examples[0], str) and _DATE.match(examples[0])
    return str(examples[0]) if bare else _shown(examples[0])
