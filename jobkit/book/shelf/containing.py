"""Which files hold a word, told from their contents one by one."""

from __future__ import annotations

from collections.abc import Iterable

from jobkit.book.shelf.errors import ShelfError


def containing(files: Iterable[tuple[str, bytes | ShelfError]], word: str) -> tuple[str, ...]:
    """Return the paths of the files in which a word is; one that cannot be read holds none."""
    wanted = word.encode()
    return tuple(path for path, content in files if isinstance(content, bytes) and wanted in content)
