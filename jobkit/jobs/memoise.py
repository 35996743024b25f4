"""Work out once what several ask of the job in hand."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from operator import is_
from typing import TypeVar, TypeVarTuple

_Asked = TypeVarTuple("_Asked")
_Answer = TypeVar("_Answer")


def memoise_last(make: Callable[[*_Asked], _Answer]) -> Callable[[*_Asked], _Answer]:
    """Let a pure function of records keep its last answer, and give it again while it is asked about the same ones.

    The same are the very same objects, not equal ones: to tell that takes no time, and asking in any order gives the
    answers of the function itself (its `__wrapped__`). One answer is kept, with what it was asked about, so that memory
    does not grow with the number of jobs. For answers that are not changed: records, numbers and tuples of them.
    """
    last: tuple[tuple[object, ...], _Answer] | None = None

    @wraps(make)
    def remembered(*asked: *_Asked) -> _Answer:
        nonlocal last
        if last is None or not all(map(is_, asked, last[0])):
            last = asked, make(*asked)
        return last[1]

    return remembered
