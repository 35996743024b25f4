"""Read a plain call of lint, show or read without the command-line library, which takes long to load."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any

from jobkit.named_tuple import NamedTuple

_PAGE = {
    "--rev": "rev",
    "--on": "on",
    "--format": "format",
    "--output": "output",
    "-o": "output",
    "--color": "color",
}


class _Options(NamedTuple):
    """The options of a command, each with the field that it fills; `lists` may be repeated."""

    values: Mapping[str, str]
    flags: Mapping[str, str] = MappingProxyType({})
    lists: Mapping[str, str] = MappingProxyType({})


OPTIONS = {
    "lint": _Options(
        {**_PAGE, "--since": "since", "--stdin": "stdin"}, {"--staged": "staged", "--strict": "strict"}
    ),
    "show": _Options({**_PAGE, "--design": "design"}),
    "read": _Options(
        {
            "--kind": "kind",
            "--state": "state",
            "--to": "to",
            "--red-on": "red_on",
            "--meter": "meter",
            "--stage": "stage",
            "--limit": "limit",
            "--range": "range",
            "--note": "note",
            "--at": "at",
            "--by": "by",
            "--job": "job",
        },
        {"--four-wire": "four_wire", "--unsettled": "unsettled", "--as-is": "as_is"},
        {"--removed": "removed", "--again": "again"},
    ),
}
"""The commands that are read here."""


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


def read_options(words: Sequence[str]) -> dict[str, Any] | None:
    """Read `words` as a call of read, as fields of `ReadCall` and of its overrides; None as above."""
    read = _read("read", words)
    return {**read[0], "words": read[1]} if read and read[1] else None


_Read = tuple[dict[str, Any], tuple[str, ...]]
"""Options by the field that each fills, the books among them, and the other words."""


def _read(command: str, words: Sequence[str]) -> _Read | None:
    before = _leading_books(words)
    if before is None or words[2 * len(before) : 2 * len(before) + 1] != [command]:
        return None
    return _given(list(words[2 * len(before) + 1 :]), before, OPTIONS[command])


def _leading_books(words: Sequence[str]) -> list[str] | None:
    books: list[str] = []
    for at in range(0, len(words), 2):
        if words[at] != "--book":
            return books
        if at + 1 == len(words):
            return None
        books.append(words[at + 1])
    return books


def _given(words: list[str], books: list[str], known: _Options) -> _Read | None:
    given: dict[str, Any] = {}
    lists: dict[str, list[str]] = {"books": books}
    plain: list[str] = []
    todo = iter(words)
    for word in todo:
        if word in known.flags:
            given[known.flags[word]] = True
        elif not word.startswith("-"):
            plain.append(word)
        else:
            value = next(todo, "-")
            if value.startswith("-"):
                return None
            if word in known.values:
                given[known.values[word]] = value
            elif word == "--book" or word in known.lists:
                lists.setdefault(known.lists.get(word, "books"), []).append(value)
            else:
                return None
    return {**given, **{name: tuple(values) for name, values in lists.items()}}, tuple(plain)
