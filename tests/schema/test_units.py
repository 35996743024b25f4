"""Every kind of reading takes its own units and refuses those of every other kind."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.book.schema.schema_files import conditions
from jobkit.jobs.duration import parse_duration
from jobkit.units.kinds import KINDS, spellings
from jobkit.units.quantity import parse_quantity
from tests.schema.schemas import DOCUMENTS, document, fast, resolved, schema, thorough

BOOKED_IN = document(DOCUMENTS / "job/good/booked-in.toml")
EVERY_SPELLING = {unit for kind in KINDS for unit in spellings(kind)}


def _job(kind: str, value: str) -> dict[str, Any]:
    return {**BOOKED_IN, "reading": [{"point": "V12", "kind": kind, "value": value}]}


def _meters(kind: str, **ends: str) -> dict[str, Any]:
    return {
        "format": 1,
        "meter": [{"name": "dmm-1", "range": [{"kind": kind, "upto": f"2 {spellings(kind)[0]}", **ends}]}],
    }


def _pinned(name: str, table: str, key: str, kind: str) -> str:
    """Find the pattern that the schema holds `key` to where the kind is `kind`."""
    whole = schema(name)
    for condition in conditions(whole["$defs"][table]):
        if condition["if"]["properties"]["kind"]["const"] == kind:
            return str(resolved(condition["then"]["properties"][key], whole)["pattern"])
    raise AssertionError(kind)


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_takes_each_spelling_of_its_units(kind: str) -> None:
    for unit in spellings(kind):
        assert fast("job").is_valid(_job(kind, f"1.5 {unit}")), unit
        assert fast("meters").is_valid(_meters(kind, upto=f"2 {unit}", step=f"1 {unit}")), unit


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_refuses_the_units_of_every_other(kind: str) -> None:
    for unit in EVERY_SPELLING - set(spellings(kind)):
        assert not fast("job").is_valid(_job(kind, f"1.5 {unit}")), unit
        assert not fast("meters").is_valid(_meters(kind, step=f"1 {unit}")), unit


@pytest.mark.parametrize("kind", KINDS)
def test_both_validators_agree_on_units(kind: str) -> None:
    for unit in EVERY_SPELLING:
        data = _job(kind, f"1.5 {unit}")
        assert thorough("job").is_valid(data) == fast("job").is_valid(data), unit


@pytest.mark.parametrize("kind", KINDS)
def test_open_is_a_reading_of_resistance_and_diode_mode_only(kind: str) -> None:
    assert fast("job").is_valid(_job(kind, "OL")) == (kind in ("resistance", "diode"))


# IEC 60062: the letter stands for the prefix and the decimal point (copy; for the small letters, common practice).
@pytest.mark.parametrize(
    ("code", "kinds"),
    [
        ("4K7", {"resistance"}),
        ("R47", {"resistance"}),
        ("470R", {"resistance"}),
        ("4M7", {"resistance"}),
        ("10p", {"capacitance", "inductance"}),
        ("4n7", {"capacitance", "inductance"}),
        ("1µ0", {"capacitance", "inductance"}),
        ("2u2", {"capacitance", "inductance"}),
        ("1F0", {"capacitance"}),
        ("K", set()),
        ("47", set()),
    ],
)
def test_component_codes_stand_where_they_make_sense(code: str, kinds: set[str]) -> None:
    assert {kind for kind in KINDS if fast("job").is_valid(_job(kind, code))} == kinds


@pytest.mark.parametrize(
    ("name", "table", "key"),
    [("job", "reading", "value"), ("job", "reading", "range"), ("meters", "range", "step")],
)
@pytest.mark.parametrize("kind", KINDS)
@given(data=st.data())
def test_what_the_schema_lets_through_can_be_read(
    name: str, table: str, key: str, kind: str, data: st.DataObject
) -> None:
    pattern = _pinned(name, table, key, kind)[1:-1]
    text = data.draw(st.from_regex(f"(?:{pattern})", fullmatch=True))
    assert parse_quantity(text, kind).unit == KINDS[kind].unit


@given(st.from_regex(f"(?:{schema('job')['$defs']['duration']['pattern'][1:-1]})", fullmatch=True))
def test_a_duration_that_the_schema_lets_through_can_be_read(text: str) -> None:
    assert parse_duration(text).days >= 0
