"""What lint says of a place in a file."""

from __future__ import annotations

from collections.abc import Iterable

from jobkit.named_tuple import NamedTuple

Place = tuple[str | int, ...]
"""Keys and indices from the top of a file, such as `("reading", 3, "value")`; empty means the whole file."""

LEVELS = ("error", "warning", "note")
"""Gravest first."""


class Finding(NamedTuple):
    """One thing that is wrong, and how to fix it.

    `file` is relative to the book; `line` and `column` count from 1 and are 0 until the place has been looked up
    in the text. `about` names what it is about (a point, a part, a key), so that a waiver can single it out.
    `commit` is the id of the commit that brought it, where a history is looked at.
    """

    rule: str
    level: str
    file: str
    place: Place
    about: str
    job: str
    message: str
    mend: str
    line: int = 0
    column: int = 0
    commit: str = ""


def in_order(findings: Iterable[Finding]) -> list[Finding]:
    """Sort by place in the book, then gravity, then words, so that two runs print the same."""
    return sorted(findings, key=_order)


def _order(finding: Finding) -> tuple[str, int, int, int, str, str]:
    gravity = LEVELS.index(finding.level)
    return finding.file, finding.line, finding.column, gravity, finding.rule, finding.message
