"""What a writing changed in a text, kept as splices: it is undone only where it still is as it was written.

A splice is of whole lines, so that what it put in is told apart from all else, and what it replaced comes back byte for
byte.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher

from jobkit.book.edit import EditError
from jobkit.named_tuple import NamedTuple

_LINE = re.compile(r"[^\n]*\n|[^\n]+")
_LINE_END = re.compile(r"\r?\n|\Z")
_MOST_LINES = 200
"""Beyond so many lines between the first and the last change, these are one splice: a closer look takes cubic time."""


class Splice(NamedTuple):
    """At the offset `at`, `new` took the place of `old`."""

    at: int
    old: str
    new: str


def splices(before: str, after: str) -> tuple[Splice, ...]:
    r"""Return the splices that make one text out of another, to be applied in this order.

    >>> splices("a = 1\nb = 2\nc = 3\n", "a = 9\nb = 2\nc = 8\n")
    (Splice(at=0, old='a = 1\n', new='a = 9\n'), Splice(at=12, old='c = 3\n', new='c = 8\n'))
    """
    old, new = _LINE.findall(before), _LINE.findall(after)
    start = _alike(old, new)
    end = _alike(old[start:][::-1], new[start:][::-1])
    changed = old[start : len(old) - end], new[start : len(new) - end]
    return tuple(_hunks(*changed, at=sum(map(len, old[:start]))))


def reverted(text: str, done: Sequence[Splice]) -> str:
    """Take splices back out of the very text that they made, by their offsets; raises EditError where it is another."""
    for one in reversed(done):
        if not text.startswith(one.new, one.at):
            raise changed_since()
        text = text[: one.at] + one.old + text[one.at + len(one.new) :]
    return text


def taken_back(text: str, done: Sequence[Splice]) -> str:
    """Take splices back out of a text that other lines came into since.

    Raises EditError where one is no longer there as it was written, where its lines are there twice, or where it only
    took lines out: nothing is left that would tell where they were.
    """
    for one in reversed([each for each in done if each.old != each.new]):
        at = _place(text, one)
        text = text[:at] + one.old + text[at + len(one.new) :]
    return text


def times(text: str, lines: str) -> int:
    """Count how often a text has these whole lines."""
    return sum(1 for _ in _places(text, lines))


def changed_since() -> EditError:
    """Return the error for what is no longer as it was written."""
    return EditError("the entry was changed after it was written", "change it in an editor")


def _hunks(old: list[str], new: list[str], *, at: int) -> Iterator[Splice]:
    """Compare line by line; lines between two changes stay out of both, so that they may change later."""
    done = 0
    for old_from, old_to, new_from, new_to in _differences(old, new):
        at += sum(map(len, new[done:new_from]))
        done = new_from
        yield Splice(at, "".join(old[old_from:old_to]), "".join(new[new_from:new_to]))


def _differences(old: list[str], new: list[str]) -> Iterator[tuple[int, int, int, int]]:
    """Yield the ranges of lines that differ, in both texts."""
    if len(old) == len(new):
        differ = [mine != theirs for mine, theirs in zip(old, new, strict=True)]
        starts = [place for place, one in enumerate(differ) if one and not (place and differ[place - 1])]
        for start in starts:
            end = next((place for place in range(start, len(differ)) if not differ[place]), len(differ))
            yield start, end, start, end
    elif not old or not new or max(len(old), len(new)) > _MOST_LINES:
        yield 0, len(old), 0, len(new)
    else:
        for kind, *ranges in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
            if kind != "equal":
                yield ranges[0], ranges[1], ranges[2], ranges[3]


def _alike(one: Sequence[str], other: Sequence[str]) -> int:
    """Count the lines that two texts begin with alike."""
    count = 0
    for mine, theirs in zip(one, other, strict=False):
        if mine != theirs:
            break
        count += 1
    return count


def _place(text: str, one: Splice) -> int:
    """Find where the splice is now: where it was put, else the only place with these lines."""
    if one.at in (places := list(_places(text, one.new))):
        return one.at
    if len(places) != 1:
        raise changed_since()
    return places[0]


def _places(text: str, lines: str) -> Iterator[int]:
    at = text.find(lines) if lines else -1
    while at >= 0:
        whole = lines.endswith("\n") or _LINE_END.match(text, at + len(lines))
        if whole and (at == 0 or text[at - 1] == "\n"):
            yield at
        at = text.find(lines, at + 1)
