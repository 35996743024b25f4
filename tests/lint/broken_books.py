"""Broken books: the sound one with a slip or two, each with a mark where a finding is expected.

They stand in tests/lint/broken/*.toml, one table a book. A key names a file (`K26-0001` for its job file, `bench`,
`board`, `meters`, `stock` for those, else by path), its value the slips: pairs of a piece of the sound file, which must
be there once, and what stands in its place; or a whole new file (empty: the file is taken away). A job that the sound
book lacks begins as a copy of K26-0001. A mark `«rule»` or `«level rule»` stands where lint must find something of that
rule, to the very character; marks are taken out before the book is laid.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, NamedTuple

import rtoml

from jobkit.lint.registry import RULES
from tests.lint.laid import BOOK

_SHORT = {
    "bench": "bench.toml",
    "board": "boards/wick-w1.toml",
    "meters": "meters.toml",
    "stock": "stock.toml",
}
_MARK = re.compile("«(?:(error|warning|note) )?([a-z-]+)»")


class Expected(NamedTuple):
    """What lint must find, and where."""

    file: str
    line: int
    column: int
    level: str
    rule: str


class Broken(NamedTuple):
    """A broken book: the files to lay over the sound one, and all that lint must find."""

    name: str
    files: dict[str, str]
    expected: tuple[Expected, ...]


def broken_books() -> Iterator[Broken]:
    """Read all broken books."""
    for place in sorted((BOOK.parent / "broken").glob("*.toml")):
        for name, slips in rtoml.load(place).items():
            yield _broken(f"{place.stem}: {name}", slips)


def _broken(name: str, slips: dict[str, Any]) -> Broken:
    files: dict[str, str] = {}
    expected: list[Expected] = []
    for key, slip in slips.items():
        path = _path(key)
        marked = slip.removeprefix("\n") if isinstance(slip, str) else _slipped(path, slip)
        files[path], marks = unmarked(marked, path.removeprefix("later/"))
        expected += marks
    return Broken(name, files, tuple(sorted(expected)))


def _path(key: str) -> str:
    is_job = re.fullmatch("[A-Z][0-9]{2}-[0-9]{4}", key)
    return f"jobs/20{key[1:3]}/{key}.toml" if is_job else _SHORT.get(key, key)


def _slipped(path: str, slips: list[list[str]]) -> str:
    text = _sound(path)
    for before, after in slips:
        before, after = before.removeprefix("\n"), after.removeprefix("\n")  # noqa: PLW2901 - as TOML begins a block
        assert text.count(before) == 1, f"{path} has {text.count(before)} times {before!r}"
        text = text.replace(before, after)
    return text


def _sound(path: str) -> str:
    """Read a file of the sound book; a job that it lacks is like K26-0001, of another board and without logs."""
    place = BOOK / path.removeprefix("later/")
    if place.exists():
        return place.read_text("utf-8")
    like = (BOOK / "jobs/2026/K26-0001.toml").read_text("utf-8")
    return re.sub(
        '(log|heat) = ".*"\n', "", like.replace("K26-0001", place.stem).replace("-5521", place.stem[3:])
    )


def unmarked(marked: str, file: str) -> tuple[str, list[Expected]]:
    """Take the marks out of a text, and tell where they stood."""
    expected = []
    text = ""
    rest = 0
    for mark in _MARK.finditer(marked):
        text += marked[rest : mark.start()]
        rest = mark.end()
        level, rule = mark.groups()
        line, column = text.count("\n") + 1, len(text) - text.rfind("\n")
        expected.append(Expected(file, line, column, level or RULES[rule].level, rule))
    return text + marked[rest:], expected
