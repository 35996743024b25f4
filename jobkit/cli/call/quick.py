"""Read a plain call of lint or show without the command-line library, which alone takes longer to load than a lint."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

_FLAGS = {"lint": {"--staged": "staged", "--strict": "strict"}, "show": {}}
_PAGE = {
    "--rev": "rev",
    "--on": "on",
    "--format": "format",
    "--output": "output",
    "-o": "output",
    "--color": "color",
}
_VALUES = {"lint": {**_PAGE, "--since": "since", "--stdin": "stdin"}, "show": {**_PAGE, "--design": "design"}}


def lint_options(words: Sequence[str]) -> dict[str, Any] | None:
    """Read `words` as a call of lint, as fields of `LintCall`.

    None where they are no such call or hold anything that needs explaining: the command-line library does that.
    """
    read = _read("lint", words)
    return None if read is None else {**read[0], "paths": read[1]}


def show_options(words: Sequence[str]) -> dict[str, Any] | None:
    """Read `words` as a call of show, as fields of `ShowCall`; None as above."""
    read = _read("show", words)
    if read is None or len(read[1]) > 1:
        return None
    return {**read[0], "job": next(iter(read[1]), None)}


_Read = tuple[dict[str, Any], tuple[str, ...]]
"""Options by the field that each fills, the books among them, and the other words."""


def _read(command: str, words: Sequence[str]) -> _Read | None:
    before = _leading_books(words)
    if before is None or words[2 * len(before) : 2 * len(before) + 1] != [command]:
        return None
    return _options(list(words[2 * len(before) + 1 :]), before, _FLAGS[command], _VALUES[command])


def _leading_books(words: Sequence[str]) -> list[str] | None:
    books: list[str] = []
    for at in range(0, len(words), 2):
        if words[at] != "--book":
            return books
        if at + 1 == len(words):
            return None
        books.append(words[at + 1])
    return books


def _options(
    words: list[str], books: list[str], flags: Mapping[str, str], values: Mapping[str, str]
) -> _Read | None:
    given: dict[str, Any] = {}
    plain: list[str] = []
    todo = iter(words)
    for word in todo:
        if word in flags:
            given[flags[word]] = True
        elif word in values or word == "--book":
            value = next(todo, "-")
            if value.startswith("-"):
                return None
            if word == "--book":
                books.append(value)
            else:
                given[values[word]] = value
        elif word.startswith("-"):
            return None
        else:
            plain.append(word)
    return {**given, "books": tuple(books)}, tuple(plain)
