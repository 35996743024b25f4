"""Which rows of the store are those of the working tree, told without going through all of them.

The store notes with its rows which state of the tree they were of. Where that has changed in a few jobs, these are put
right; where in more, whoever asks goes through all, and notes the state again.
"""

from __future__ import annotations

import json
from collections.abc import Mapping

from jobkit.book.cache.store import Cache
from jobkit.book.read.load import OpenBook
from jobkit.book.read.rows import read_rows, rows_of_facts
from jobkit.book.shelf.tree import GitTree, TreeState

_FEW = 50


def is_current(book: OpenBook) -> bool:
    """Tell whether the store knows which rows are of the working tree as it is; raises GitError."""
    cache, state = book.cache, _state(book)
    if cache is None or state is None:
        return False
    known = _known(cache)
    if known is None or known.listing != state.listing:
        return False
    changed = [
        path for path in {*known.dirty, *state.dirty} if known.dirty.get(path) != state.dirty.get(path)
    ]
    return not changed or (len(changed) <= _FEW and _follow(book, cache, state, changed))


def note_current(book: OpenBook, blobs: Mapping[str, str]) -> None:
    """Note that the rows of these jobs, by path and blob, are those of the working tree; they are kept."""
    state = _state(book)
    if book.cache and state and len(blobs) == len(book.job_paths):
        book.cache.set_tree(json.dumps(state), None, blobs.items())


def _follow(book: OpenBook, cache: Cache, state: TreeState, changed: list[str]) -> bool:
    """Put right which rows are those of a few jobs; False where that cannot be told."""
    assert isinstance(book.shelf, GitTree)
    blobs = {path: state.dirty.get(path, book.shelf.listed_blob(path)) for path in changed}
    come = {path: blob for path, blob in blobs.items() if blob}
    there = {row[0] for row in cache.checks(come.items())}
    list(read_rows(book, [path for path in come if path not in there], rows_of_facts))
    cache.set_tree(json.dumps(state), changed, come.items())
    return _known(cache) == state


def _state(book: OpenBook) -> TreeState | None:
    return book.shelf.state if isinstance(book.shelf, GitTree) else None


def _known(cache: Cache) -> TreeState | None:
    text = cache.tree()
    return TreeState._make(json.loads(text)) if text else None
