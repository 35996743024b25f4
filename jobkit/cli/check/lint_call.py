"""What a call of lint asks for."""

from __future__ import annotations

from jobkit.named_tuple import NamedTuple


class LintCall(NamedTuple):
    """The options of a call of lint; no paths, no books: the book around the current folder, whole."""

    books: tuple[str, ...] = ()
    paths: tuple[str, ...] = ()
    staged: bool = False
    rev: str | None = None
    strict: bool = False
    format: str = "text"
    output: str | None = None
    color: str = "auto"
    on: str | None = None
    since: str | None = None
    stdin: str | None = None
