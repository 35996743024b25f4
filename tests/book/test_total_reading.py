"""Any value of TOML in any place of any file is read or refused, and what is read of the file is sound."""

from __future__ import annotations

import types
import typing
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from itertools import repeat
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jobkit.book.read.bench import read_meters, read_settings, read_stock
from jobkit.book.read.board import read_design
from jobkit.book.read.clients import clients_in
from jobkit.book.read.job import read_job
from jobkit.book.schema.gate import Doc
from jobkit.jobs.client import Client
from jobkit.jobs.design import Design
from jobkit.jobs.digest import facts_of
from jobkit.jobs.job import Job
from jobkit.jobs.meter import Meter
from jobkit.jobs.settings import Settings
from jobkit.jobs.stock import Item
from tests.books import JOB_PATH
from tests.long_run import LONG
from tests.schema.complete import complete, spoiled
from tests.schema.generate import documents
from tests.schema.schemas import KINDS, as_iso, schema

BOARD_PATH = "boards/tarnhow-t7-16.toml"
FILES = {
    "job": "jobs/2026/K26-0047.toml",
    "bench": "bench.toml",
    "meters": "meters.toml",
    "stock": "stock.toml",
    "board": BOARD_PATH,
    "clients": "private/clients.toml",
}
READERS: Mapping[str, tuple[Callable[[Doc], tuple[Any, Any]], Any]] = {
    "job": (lambda doc: read_job(JOB_PATH, doc), Job),
    "bench": (read_settings, Settings),
    "meters": (read_meters, dict[str, Meter]),
    "stock": (read_stock, dict[str, Item]),
    "board": (lambda doc: read_design(BOARD_PATH, doc), Design),
    "clients": (clients_in, dict[str, Client]),
}
VALUES: Mapping[str, Any] = {
    "a table": {"a": "b"},
    "an empty table": {},
    "a list of tables": [{"a": 1}],
    "a list of an empty table": [{}],
    "a list of lists": [["a"]],
    "a list of a number": [1],
    "an empty list": [],
    "a list of an empty text": [""],
    "an empty text": "",
    "a text": "a\u0000\n",
    "a flag": True,
    "a number": -1,
    "a large number": 10**18,
    "a fraction": 1e308,
    "no number": float("nan"),
    "the last day": "9999-12-31",
    "the first moment": "0001-01-01T00:00:00",
    "no moment of the calendar": "2026-02-30T10:00:00",
    "a time": "10:05:00",
    "a whole number as a fraction": 3.0,
    "a day with a line feed": "2026-10-22\n",
}


def test_every_kind_of_file_is_tried() -> None:
    assert set(READERS) == set(FILES) == set(KINDS)


@pytest.mark.parametrize("kind", READERS)
def test_a_complete_document_is_read_without_trouble(kind: str) -> None:
    read, form = READERS[kind]
    record, troubles = read(complete(kind))
    assert troubles == ()
    assert not misfit(record, form)


@pytest.mark.parametrize("kind", READERS)
@pytest.mark.parametrize("value", VALUES.values(), ids=VALUES)
def test_any_value_in_any_place_leaves_a_sound_record(kind: str, value: Any) -> None:
    read, form = READERS[kind]
    for doc in spoiled(complete(kind), value, 3, [*VALUES.values()].index(value)):
        record, _ = read(doc)
        assert not misfit(record, form)
        if isinstance(record, Job):
            facts_of(record)


_SCALARS = (
    st.booleans()
    | st.integers(-(2**63), 2**63 - 1)
    | st.floats()
    | st.text(st.characters(exclude_categories=["Cs"]), max_size=8)
    | st.dates().map(str)
    | st.datetimes().map(lambda at: at.isoformat())
    | st.sampled_from(
        ["OL", "1 Ω", "-0.00 V", "999999999999.9999 EUR", "P999999Y", "100 %", "10:05:00", "K26-0001"]
    )
)
ANYTHING = st.recursive(
    _SCALARS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=6,
)


@pytest.mark.parametrize("kind", READERS)
def test_any_document_with_anything_in_it_leaves_a_sound_record(kind: str) -> None:
    read, form = READERS[kind]

    @settings(max_examples=200 if LONG else 20, deadline=None, suppress_health_check=list(HealthCheck))
    @given(documents(schema(kind)), st.data())
    def any_document(sound: dict[str, Any], data: st.DataObject) -> None:
        doc = as_iso(sound)
        for _ in range(data.draw(st.integers(1, 3))):
            holder, key = data.draw(st.sampled_from(list(places(doc))))
            holder[key] = data.draw(ANYTHING)
        record, _ = read(doc)
        assert not misfit(record, form)
        if isinstance(record, Job):
            facts_of(record)

    any_document()


def places(holder: Any) -> Iterator[tuple[Any, Any]]:
    """Yield every place of a document, as its holder and the key in it; a key that no schema knows too."""
    for key, value in list(holder.items() if isinstance(holder, dict) else enumerate(holder)):
        yield holder, key
        if isinstance(value, dict | list):
            yield from places(value)
    if isinstance(holder, dict):
        yield holder, "strange"


def misfit(value: Any, form: Any, where: str = "") -> str:
    """Say what of a record is not what its annotation says, "" where all is."""
    inner = typing.get_args(form)
    kind = typing.get_origin(form) or form
    if kind in (typing.Union, types.UnionType):
        return "" if any(not misfit(value, one) for one in inner) else f"{where}: {value!r} is not {form}"
    plain = dict if kind is Mapping else kind
    if not isinstance(value, plain):
        return f"{where}: {value!r} is not {form}"
    parts = ((key, part, of) for key, part, of in _parts(value, kind, inner))
    return next(filter(None, (misfit(part, of, f"{where}.{key}") for key, part, of in parts)), "")


def _parts(value: Any, kind: Any, inner: tuple[Any, ...]) -> Iterator[tuple[Any, Any, Any]]:
    """Yield what a value is made of: a name, the part, and its annotation."""
    if hasattr(kind, "_fields"):
        yield from ((key, getattr(value, key), form) for key, form in _hints(kind).items())
    elif kind is dict or kind is Mapping:
        yield from ((key, part, inner[1]) for key, part in value.items())
    elif kind is tuple or kind is frozenset:
        forms = repeat(inner[0]) if kind is frozenset or inner[1:] == (...,) else inner
        yield from ((at, part, form) for at, (part, form) in enumerate(zip(value, forms, strict=False)))


@cache
def _hints(record: Any) -> dict[str, Any]:
    return typing.get_type_hints(record)
