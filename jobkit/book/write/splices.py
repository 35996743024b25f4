"""Taking back what was written: a change is kept as splices, and goes only where it still stands as it was written.

A splice is of whole lines, so that what it put in is told apart from all else, and what it replaced comes back byte for
byte.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from jobkit.book.edit import EditError
from jobkit.book.toml.parse import TomlError, parse_text

_LINE = re.compile(r"[^\n]*\n|[^\n]+")
_LINE_END = re.compile(r"\r?\n|\Z")


class Splice(NamedTuple):
    """At the offset `at`, `new` stands where `old` stood."""

    at: int
    old: str
    new: str


def splice(before: str, after: str) -> Splice:
    r"""Tell by which lines two texts differ.

    >>> splice("a = 1\nb = 2\n", "a = 1\nb = 3\n")
    Splice(at=6, old='b = 2\n', new='b = 3\n')
    """
    old, new = _LINE.findall(before), _LINE.findall(after)
    start = _alike(old, new)
    end = _alike(old[start:][::-1], new[start:][::-1])
    at = sum(map(len, old[:start]))
    return Splice(at, "".join(old[start : len(old) - end]), "".join(new[start : len(new) - end]))


def taken_back(text: str, splices: Sequence[Splice]) -> str:
    """Take splices back, the last one first; raises EditError where one no longer stands as it was written.

    Of lines that were taken out nothing is left to be told by, so they do not come back.
    """
    for one in reversed([each for each in splices if each.old != each.new]):
        at = _place(text, one)
        text = text[:at] + one.old + text[at + len(one.new) :]
    try:
        parse_text(text)
    except TomlError:
        raise _changed() from None
    return text


def _alike(one: Sequence[str], other: Sequence[str]) -> int:
    """Count the lines that two texts begin with alike."""
    count = 0
    for mine, theirs in zip(one, other, strict=False):
        if mine != theirs:
            break
        count += 1
    return count


def _place(text: str, one: Splice) -> int:
    """Find where the splice stands now: where it was put, else the only place with these lines."""
    if one.at in (places := list(_places(text, one.new))):
        return one.at
    if len(places) != 1:
        raise _changed()
    return places[0]


def _places(text: str, lines: str) -> Iterator[int]:
    at = text.find(lines) if lines else -1
    while at >= 0:
        whole = lines.endswith("\n") or _LINE_END.match(text, at + len(lines))
        if whole and (at == 0 or text[at - 1] == "\n"):
            yield at
        at = text.find(lines, at + 1)


def _changed() -> EditError:
    return EditError("what was written has been changed since", "change it in an editor")
