"""Random documents that a schema accepts, for property tests: as a TOML parser would give them, dates as dates.

It knows the subset of JSON Schema that our schemas keep to (test_subset holds them there). Where a schema is looser
than the format, for limits, money and rates of tax, it makes what the format means:

    documents(schema("job"))                 any job
    documents(schema("job"), "reading")      any reading, out of `$defs`
"""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from hypothesis import strategies as st

from jobkit.book.schema.schema_files import conditions
from tests.schema.schemas import Schema, resolved

_WORDS = st.sampled_from(
    [
        "VCORE",
        "V12",
        "U5",
        "Q214",
        "ida",
        "left column, top",
        "größer als 3 µm",
        'says "dead"',
        "a\nb",
        "C:\\x",
        "# no",
    ]
)
_CHARACTERS = st.characters(exclude_categories=("Cs", "Cc"))
_TEXT = _WORDS | st.text(_CHARACTERS, min_size=1, max_size=12)
_KEYS = st.from_regex(r"[A-Za-z0-9][A-Za-z0-9 _.-]{0,9}", fullmatch=True)
_OWN = st.booleans() | st.integers(-(2**40), 2**40) | _TEXT
_SOME_DAY = (date(2000, 1, 1), date(2099, 12, 31))
_SOME_TIME = (datetime(2000, 1, 1), datetime(2099, 12, 31))


_UNITS = {
    "resistance": "Ω",
    "voltage": "V",
    "diode": "mV",
    "current": "A",
    "capacitance": "nF",
    "inductance": "µH",
    "frequency": "MHz",
    "temperature": "°C",
    "power": "W",
    "ripple": "mV",
    "fan speed": "rpm",
    "frame rate": "fps",
}
_LIMITS = [
    "10 {} .. 60 {}",
    "1.5 .. 2.25 {}",
    "12 {} ± 0.5 {}",
    "3.3 {} +0.2 {}/-0.1 {}",
    ">= 200 {}",
    "<= 95 {}",
]
_CURRENCY = "^[A-Z]{3}$"
_PERCENTAGE = st.integers(0, 10000).map(lambda n: f"{n / 100} %")
_MONEY = st.builds(
    "{:.2f} {}".format, st.integers(0, 10**6).map(lambda n: n / 100), st.sampled_from(["EUR", "GBP"])
)


def _limits(kind: str | None = None) -> st.SearchStrategy[str]:
    units = [_UNITS[kind]] if kind else list(_UNITS.values())
    return st.builds(
        lambda limit, unit: limit.replace("{}", unit), st.sampled_from(_LIMITS), st.sampled_from(units)
    )


@st.composite
def documents(draw: st.DrawFn, whole: Schema, name: str | None = None) -> dict[str, Any]:
    """Draw a document that `whole` accepts, or a table that its `$defs` calls `name`."""
    part = whole["$defs"][name] if name else whole
    drawn: dict[str, Any] = draw(_values(part, whole))
    return drawn


def _values(part: Schema, whole: Schema) -> st.SearchStrategy[Any]:
    """Choose the strategy for one subschema."""
    if part.get("$ref") in _MEANT:
        return _MEANT[part["$ref"]]
    part = resolved(part, whole)
    if "const" in part:
        return st.just(part["const"])
    if "enum" in part:
        return st.sampled_from(part["enum"])
    if "items" in part and isinstance(part["type"], list):
        return _values(part["allOf"][0]["then"], whole) | _arrays(part, whole).map(_in_order).filter(bool)
    named = part.get("type", "object")
    types = [named] if isinstance(named, str) else named
    return st.one_of([_BY_TYPE[each](part, whole) for each in types])


def _in_order(entries: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Make a history of drawn entries: each from a later day than the one before it, all amounts in one currency."""
    since = {entry.get("since", date.min): entry for entry in entries}
    ordered = [since[day] for day in sorted(since)]
    currency = next((entry["amount"].split()[1] for entry in ordered if "amount" in entry), "")
    return [
        {key: f"{value.split()[0]} {currency}" if key == "amount" else value for key, value in entry.items()}
        for entry in ordered
    ]


def _strings(part: Schema, _: Schema) -> st.SearchStrategy[Any]:
    if part.get("format") == "date":
        return st.dates(*_SOME_DAY)
    if part.get("format") == "date-time-local":
        return st.datetimes(*_SOME_TIME)
    if part.get("pattern") == _CURRENCY:
        return st.sampled_from(["EUR", "JPY", "KWD"])
    if "pattern" in part:
        # Cut the anchors off: `$` would let a line feed in at the end.
        return st.from_regex(f"(?:{part['pattern'][1:-1]})", fullmatch=True)
    return _TEXT


def _integers(part: Schema, _: Schema) -> st.SearchStrategy[Any]:
    return st.integers(part.get("minimum", -1000), part.get("maximum", 1000))


def _numbers(part: Schema, _: Schema) -> st.SearchStrategy[Any]:
    low, high = part.get("minimum", part.get("exclusiveMinimum", -1000)), part.get("maximum", 1000)
    hundredths = st.integers(low * 100 + ("exclusiveMinimum" in part), high * 100).map(lambda n: n / 100)
    return hundredths | st.integers(low + ("exclusiveMinimum" in part), high)


def _arrays(part: Schema, whole: Schema) -> st.SearchStrategy[Any]:
    return st.lists(_values(part["items"], whole), max_size=3)


@st.composite
def _objects(draw: st.DrawFn, part: Schema, whole: Schema) -> dict[str, Any]:
    if "properties" not in part:
        return draw(_maps(part, whole))
    required = part.get("required", ())
    chosen = [key for key in part["properties"] if key in required or draw(st.booleans())]
    told = conditions(part)
    drawn: dict[str, Any] = {}
    for key in sorted(chosen, key=lambda key: not _asked_for(key, told)):
        drawn[key] = draw(_value_of(key, drawn, part, whole))
    while missing := _missing(drawn, told):  # what is added may ask for more
        drawn[missing] = draw(_value_of(missing, drawn, part, whole))
    return drawn


def _missing(drawn: dict[str, Any], told: Any) -> str:
    """Name a key that the conditions which hold ask for and that is not there; "" where there is none."""
    asked = (key for then in _consequences(drawn, told) for key in then.get("required", ()))
    return next((key for key in asked if key not in drawn), "")


def _value_of(key: str, drawn: dict[str, Any], part: Schema, whole: Schema) -> st.SearchStrategy[Any]:
    """Choose the strategy for one key, given those that were drawn before it."""
    values = _values(_narrowed(key, drawn, part), whole)
    is_limit = key == "limit" and values is _MEANT["#/$defs/limit"]
    return _limits(drawn["kind"]) if is_limit and "kind" in drawn else values


def _maps(part: Schema, whole: Schema) -> st.SearchStrategy[dict[str, Any]]:
    inner = part["additionalProperties"]
    return st.dictionaries(_KEYS, _values(inner, whole) if isinstance(inner, Mapping) else _OWN, max_size=3)


def _asked_for(key: str, told: Any) -> bool:
    """Tell whether one of the conditions depends on `key`, so that it must be drawn before the others."""
    return any(key in condition["if"].get("required", ()) for condition in told)


def _consequences(drawn: dict[str, Any], told: Any) -> list[Schema]:
    """Collect what those of the conditions that hold ask for."""
    return [condition["then"] for condition in told if _holds(condition["if"], drawn)]


def _holds(condition: Schema, drawn: dict[str, Any]) -> bool:
    """Tell whether a condition holds: keys that must be there, those that must not, and values that they must have."""
    wanted = condition.get("properties", {})
    return all(key in drawn for key in condition.get("required", ())) and all(
        key not in drawn if inner is False else drawn[key] == inner["const"] for key, inner in wanted.items()
    )


def _narrowed(key: str, drawn: dict[str, Any], part: Schema) -> Schema:
    """Give the subschema of `key`, the stricter one where a condition that holds has one."""
    for then in _consequences(drawn, conditions(part)):
        if key in then.get("properties", {}):
            narrowed = then["properties"][key]
            return {**part["properties"][key], **narrowed} if "items" in narrowed else dict(narrowed)
    return dict(part["properties"][key])


_MEANT = {
    "#/$defs/money": _MONEY,
    "#/$defs/unit_price": _MONEY,
    "#/$defs/percentage": _PERCENTAGE,
    "#/$defs/limit": _limits(),
    "#/$defs/temperature_limit": _limits("temperature"),
}

_BY_TYPE = {
    "string": _strings,
    "integer": _integers,
    "number": _numbers,
    "boolean": lambda _part, _whole: st.booleans(),
    "array": _arrays,
    "object": _objects,
}
