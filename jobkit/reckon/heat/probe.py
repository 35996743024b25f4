"""Where a thermocouple sat, read from the words of `probe`."""

from __future__ import annotations

import re
from typing import NamedTuple

from jobkit.reckon.heat.part_places import PART_NAME

JOINT, BODY, ELSEWHERE = "joint", "body top", "elsewhere"
"""The places that have limits, and all others."""

_WORDS = (
    (JOINT, re.compile(r"\b(joints?|balls?|pads?|solder|leads?|pins?)\b", re.IGNORECASE)),
    (BODY, re.compile(r"\b(body|top|lid|case|package)\b", re.IGNORECASE)),
    (
        ELSEWHERE,
        re.compile(
            r"\b(board|air|room|ambient|nozzle|heater|preheater|bottom|underside|fixture|connector|capacitor)\b",
            re.IGNORECASE,
        ),
    ),
)
"""Words for a place; the first row that fits counts."""


class Probe(NamedTuple):
    """Where one thermocouple sat: on which part, and where on it; both "" where that is not known."""

    column: str
    text: str = ""
    part: str = ""
    where: str = ""

    @property
    def place(self) -> str:
        """Name the place for people."""
        return self.text or "place unknown"


def probe_at(column: str, text: str, part: str = "") -> Probe:
    """Read where a thermocouple sat; `part` is meant where the words name none.

    >>> probe_at("t1", "U20 corner joint")[2:], probe_at("t2", "body top", "U5")[2:], probe_at("t3", "somewhere")[2:]
    (('U20', 'joint'), ('U5', 'body top'), ('', ''))
    """
    where = next((place for place, words in _WORDS if words.search(text)), "")
    named = PART_NAME.search(text)
    own = part if where in {JOINT, BODY} else ""
    return Probe(column, text, named[0] if named else own, where)
