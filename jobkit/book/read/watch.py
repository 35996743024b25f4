"""How long work tells how far it is: the caller hands in what shows it.

What is shown, and where, is not known here; `unwatched` shows nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from typing import TypeAlias, TypeVar

_Item = TypeVar("_Item")

Tell: TypeAlias = Callable[[int], None]
"""Is told how much is done."""
Watch: TypeAlias = Callable[[str, int], AbstractContextManager[Tell | None]]
"""Begins to show a piece of work, by what it is and how much there is to do; None where nothing is to be told."""


@contextmanager
def unwatched(what: str, whole: int) -> Iterator[None]:
    """Show nothing."""
    del what, whole
    yield


def watched(items: Sequence[_Item], watch: Watch, what: str) -> Iterator[_Item]:
    """Yield the items, and tell after each how many are done."""
    with watch(what, len(items)) as tell:
        for done, item in enumerate(items, 1):
            yield item
            if tell:
                tell(done)
