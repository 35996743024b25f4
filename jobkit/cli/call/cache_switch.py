"""Whether a call may use the store of its book, and where that is."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from jobkit.cli.call.streams import say

if TYPE_CHECKING:
    from jobkit.book.cache.store import Cache
    from jobkit.book.shelf.opening import Shelf

NO_CACHE = "JOBKIT_NO_CACHE"
"""The environment variable that, set to anything, makes every answer be calculated again, and nothing be kept."""


def is_off() -> bool:
    """Tell whether nothing is to be kept."""
    return bool(os.environ.get(NO_CACHE))


@contextmanager
def cache_off(*, asked: bool) -> Iterator[None]:
    """Keep nothing for the length of a call, where that is asked for."""
    if not asked or NO_CACHE in os.environ:
        yield
        return
    os.environ[NO_CACHE] = "1"
    try:
        yield
    finally:
        del os.environ[NO_CACHE]


def cache_for(shelf: Shelf) -> Cache | None:
    """Open the store of the book on a shelf; None where nothing is to be kept, or the book is not in git."""
    if shelf.repo is None or is_off():
        return None
    # A call that keeps nothing does not load what keeps.
    from jobkit.book.cache.folder import cache_of

    return cache_of(shelf.repo, lambda line: say(f"jobkit: {line}"))
