"""Which text of the book a call reads."""

from __future__ import annotations

from pathlib import Path

from jobkit.book.shelf import Index, Revision, Shelf, Tree
from jobkit.units.errors import MisuseError


def shelf_of(root: Path, *, staged: bool = False, rev: str | None = None) -> Shelf:
    """Open the shelf asked for: a revision, the index, or the working tree."""
    if rev and staged:
        raise MisuseError("--staged and --rev exclude each other", "leave one of them out")
    if rev:
        return Revision(root, rev)
    return Index(root) if staged else Tree(root)
