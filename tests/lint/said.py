"""What lint says of a book, as text for golden files: all that a user reads of each finding."""

from __future__ import annotations

import re
from collections.abc import Iterable

from jobkit.jobs.finding import Finding


def said(findings: Iterable[Finding]) -> str:
    """Write each finding on three lines: its place, level, rule and subject; its message; its fix."""
    return "".join(map(_finding, findings))


def _finding(one: Finding) -> str:
    place = f"{one.file}:{one.line}:{one.column}"
    return f"{place} {one.level} {one.rule} ({one.about})\n  {one.message}\n  fix: {one.mend}\n"


def file_name(words: str) -> str:
    """Make the name of a golden file from words.

    >>> file_name("a wait, over before it began")
    'a-wait-over-before-it-began.txt'
    """
    return re.sub("[^a-z0-9]+", "-", words.casefold()).strip("-") + ".txt"
