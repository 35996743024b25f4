"""Facts as plain data: small, and what lies deep in them is read back only when asked for."""

from __future__ import annotations

import marshal
import re
from collections.abc import Iterable, Iterator, Sequence
from sys import intern
from typing import Any, TypeAlias

from jobkit.jobs import facts as records
from jobkit.jobs.facts import Facts

Packed: TypeAlias = tuple[Any, ...]
"""The fields of facts, each list of records as bytes, () where it is empty; no facts at all where nothing is in it."""

_LIST = re.compile(r"Sequence\[(\w+)\]")


def _nested() -> tuple[tuple[int, Any], ...]:
    """Find the fields of facts that hold records of their own: their place, and the record."""
    found = []
    for at, kind in enumerate(Facts.__annotations__.values()):
        name = _LIST.fullmatch(kind if isinstance(kind, str) else kind.__forward_arg__)
        if name:
            found.append((at, getattr(records, name[1])))
    return tuple(found)


_NESTED = _nested()


class Unread(Sequence[Any]):
    """A list of records, some at least, that is read back when somebody first looks at it; equal to a tuple of them."""

    __slots__ = ("_held", "_record")

    def __init__(self, record: Any, packed: bytes) -> None:
        self._record = record
        self._held: Any = packed

    def _read(self) -> tuple[Any, ...]:
        if type(self._held) is bytes:
            rows = marshal.loads(self._held)  # noqa: S302 - our own bytes, checked as a whole
            self._held = tuple(map(self._record._make, rows))
        found: tuple[Any, ...] = self._held
        return found

    def __bool__(self) -> bool:
        return True

    def __len__(self) -> int:
        return len(self._read())

    def __getitem__(self, at: Any) -> Any:
        return self._read()[at]

    def __iter__(self) -> Iterator[Any]:
        return iter(self._read())

    def __eq__(self, other: object) -> bool:
        return self._read() == (other._read() if isinstance(other, Unread) else other)

    def __hash__(self) -> int:
        return hash(self._read())

    def __repr__(self) -> str:
        return repr(self._read())


def pack(facts: Facts) -> Packed:
    """Turn facts into plain data.

    Words that many jobs share are marked as such: they are written once, and of ten thousand jobs read back, all have
    the same "VMEM" in memory.
    """
    values = _shared(facts)
    for at, _ in _NESTED:
        if values[at]:
            values[at] = marshal.dumps(list(map(_shared, values[at])))
    return tuple(values)


def plain(value: Any) -> Any:
    """Turn the value of a field of facts into plain data: a list of records into one of tuples."""
    return tuple(map(tuple, value)) if value and not isinstance(value, str | bool) else value


def _shared(record: Iterable[Any]) -> list[Any]:
    return [intern(value) if type(value) is str else value for value in record]


def unpack(packed: Packed) -> Facts:
    """Read facts back."""
    values = list(packed)
    for at, record in _NESTED:
        if values[at]:
            values[at] = Unread(record, values[at])
    return Facts._make(values)
