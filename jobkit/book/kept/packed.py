"""Facts as bytes: small, read back only when asked for."""

from __future__ import annotations

import marshal
import re
from sys import intern
from typing import Any

from jobkit.jobs import facts as records
from jobkit.jobs.facts import Facts

_LIST = re.compile(r"tuple\[(\w+), \.\.\.\]")


def _nested() -> tuple[tuple[int, Any], ...]:
    """Find the fields of facts that hold records of their own: their place, and the record."""
    found = []
    for at, kind in enumerate(Facts.__annotations__.values()):
        name = _LIST.fullmatch(kind if isinstance(kind, str) else kind.__forward_arg__)
        record = getattr(records, name[1], None) if name else None
        if isinstance(record, type) and issubclass(record, tuple):
            found.append((at, record))
    return tuple(found)


_NESTED = _nested()


def pack(facts: Facts) -> bytes:
    """Write facts as bytes.

    Words that many jobs share are marked as such: of ten thousand jobs read back, all have the same "VMEM" in memory.
    """
    values: list[Any] = list(map(_shared, facts))
    for at, _ in _NESTED:
        if values[at]:
            values[at] = tuple(tuple(map(_shared, one)) for one in values[at])
    return marshal.dumps(values)


def _shared(value: Any) -> Any:
    return intern(value) if type(value) is str else value


def unpack(packed: bytes) -> Facts:
    """Read facts back."""
    values = marshal.loads(packed)  # noqa: S302 - our own bytes, checked as a whole
    for at, record in _NESTED:
        if values[at]:
            values[at] = tuple(map(record._make, values[at]))
    return Facts._make(values)
