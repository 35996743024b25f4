"""The facts of a job as a row of text: JSON, of which a list of records is read back only when it is looked at."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence, Set
from sys import intern
from typing import Any

from jobkit.jobs import facts as records
from jobkit.jobs.facts import Facts
from jobkit.named_tuple import NamedTuple


class FactsRow(NamedTuple):
    """The plain fields of facts as one JSON list, and each list of records as another; "" where there is nothing.

    All is "" for a file that is not TOML.
    """

    facts: str = ""
    waits: str = ""
    work: str = ""
    used: str = ""
    trials: str = ""
    proof: str = ""
    price_lines: str = ""
    payments: str = ""
    credits: str = ""
    discounts: str = ""
    refunds: str = ""


class _Listed(NamedTuple):
    """A field of facts that holds records: its place, the record, and which fields of that are tuples."""

    at: int
    record: Any
    tuples: tuple[int, ...]


_RECORDS = re.compile(r"Sequence\[(\w+)\]")


def _tuples(record: Any) -> tuple[int, ...]:
    kinds = record.__annotations__.values()
    return tuple(at for at, kind in enumerate(kinds) if kind.startswith("tuple["))


def _listed() -> Iterator[_Listed]:
    for at, kind in enumerate(Facts.__annotations__.values()):
        name = _RECORDS.fullmatch(kind)
        if name:
            record = getattr(records, name[1])
            yield _Listed(at, record, _tuples(record))


_LISTED = tuple(_listed())
_PLAIN = tuple(at for at in range(len(Facts._fields)) if at not in {one.at for one in _LISTED})
_PLAIN_NAMES = tuple(Facts._fields[at] for at in _PLAIN)
_PAIRS = tuple(
    at for at in _tuples(Facts) if Facts.__annotations__[Facts._fields[at]].startswith("tuple[tuple")
)
_TEXTS = tuple(at for at in _tuples(Facts) if at not in _PAIRS)
assert [Facts._fields[one.at] for one in _LISTED] == [*FactsRow._fields[1:]], (
    "a column for each list of records"
)

_write = json.JSONEncoder(separators=(",", ":")).encode
_read = json.JSONDecoder().raw_decode


class LazyRecords(Sequence[Any]):
    """A list of records, at least one, that is read back when it is first looked at; equal to a tuple of them."""

    __slots__ = ("_held", "_listed")

    def __init__(self, listed: _Listed, written: str) -> None:
        self._listed = listed
        self._held: Any = written

    def _records(self) -> tuple[Any, ...]:
        if type(self._held) is str:
            rows, _ = _read(self._held)
            for at in self._listed.tuples:
                for row in rows:
                    row[at] = tuple(row[at])
            self._held = tuple(self._listed.record._make(_shared(row)) for row in rows)
        found: tuple[Any, ...] = self._held
        return found

    def __bool__(self) -> bool:
        return True

    def __len__(self) -> int:
        return len(self._records())

    def __getitem__(self, at: Any) -> Any:
        return self._records()[at]

    def __iter__(self) -> Iterator[Any]:
        return iter(self._records())

    def __eq__(self, other: object) -> bool:
        return self._records() == (other._records() if isinstance(other, LazyRecords) else other)

    def __hash__(self) -> int:
        return hash(self._records())

    def __repr__(self) -> str:
        return repr(self._records())


def _shared(values: list[Any]) -> list[Any]:
    """Give one and the same text for all that are equal: of ten thousand jobs, most name the same parts and days."""
    return [intern(value) if type(value) is str else value for value in values]


def pack(facts: Facts) -> FactsRow:
    """Write facts as a row."""
    plain = _write([facts[at] for at in _PLAIN])
    listed = [tuple(facts[one.at]) for one in _LISTED]  # type: ignore[arg-type] # the fields that hold records
    return FactsRow(plain, *(_write(records) if records else "" for records in listed))


def unpack(row: Sequence[str], fields: Set[str] | None = None) -> Facts | None:
    """Read facts back; None for a file that is not TOML. Where `fields` are named, the others are left empty."""
    if not row[0]:
        return None
    values, _ = _read(row[0])
    if fields is not None:
        # Of ten thousand jobs, what nobody asks for is half of the memory.
        chosen = zip(_PLAIN_NAMES, values, strict=True)
        values = _shared([value if name in fields else "" for name, value in chosen])
    for column, one in enumerate(_LISTED, 1):
        is_wanted = row[column] and (fields is None or FactsRow._fields[column] in fields)
        values.insert(one.at, LazyRecords(one, row[column]) if is_wanted else ())
    for at in _TEXTS:
        values[at] = tuple(values[at])
    for at in _PAIRS:
        values[at] = tuple(map(tuple, values[at]))
    return Facts._make(values)
