"""Read a plain call of lint without the command-line library, which alone takes longer to load than a lint."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

_FLAGS = {"--staged": "staged", "--strict": "strict"}
_VALUES = {
    "--rev": "rev",
    "--since": "since",
    "--stdin": "stdin",
    "--on": "on",
    "--format": "format",
    "--output": "output",
    "-o": "output",
    "--color": "color",
}


def lint_options(words: Sequence[str]) -> dict[str, Any] | None:
    """Read `words` as a call of lint, as fields of `LintCall`.

    None where they are no such call or hold anything that needs explaining: the command-line library does that.
    """
    before = _leading_books(words)
    if before is None or words[2 * len(before) : 2 * len(before) + 1] != ["lint"]:
        return None
    return _options(list(words[2 * len(before) + 1 :]), before)


def _leading_books(words: Sequence[str]) -> list[str] | None:
    books: list[str] = []
    for at in range(0, len(words), 2):
        if words[at] != "--book":
            return books
        if at + 1 == len(words):
            return None
        books.append(words[at + 1])
    return books


def _options(words: list[str], books: list[str]) -> dict[str, Any] | None:
    given: dict[str, Any] = {}
    paths: list[str] = []
    todo = iter(words)
    for word in todo:
        if word in _FLAGS:
            given[_FLAGS[word]] = True
        elif word in _VALUES or word == "--book":
            value = next(todo, "-")
            if value.startswith("-"):
                return None
            if word == "--book":
                books.append(value)
            else:
                given[_VALUES[word]] = value
        elif word.startswith("-"):
            return None
        else:
            paths.append(word)
    return {**given, "books": tuple(books), "paths": tuple(paths)}
