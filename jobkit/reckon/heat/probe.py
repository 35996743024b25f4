"""Where a thermocouple sat, read from the words of `probe`."""

from __future__ import annotations

import re

from jobkit.jobs.job import PART_NAME
from jobkit.named_tuple import NamedTuple
from jobkit.units.phrase import phrase

_PART = re.compile(PART_NAME.pattern, re.IGNORECASE)
JOINT, BODY, ELSEWHERE = phrase("joint"), phrase("body top"), phrase("elsewhere")
"""The places that have limits, and all others."""

_NOT_THERE = re.compile(
    r"\b(not|no|never|without|near|beside|next|away|off|between|around|opposite)\b", re.IGNORECASE
)
"""Words that say where a thermocouple did not sit; what such words leave is not guessed."""

_WORDS = (
    (JOINT, re.compile(r"\b(joints?|balls?|pads?|solder|leads?|pins?)\b", re.IGNORECASE)),
    (
        ELSEWHERE,
        re.compile(
            r"\b(board|air|room|ambient|nozzle|heater|preheater|bottom|underside|under|below|beneath|fixture)\b",
            re.IGNORECASE,
        ),
    ),
    (BODY, re.compile(r"\b(body|top|lid|case|package)\b", re.IGNORECASE)),
    (ELSEWHERE, re.compile(r"\b(connector|capacitor)\b", re.IGNORECASE)),
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
        return self.text or phrase("place unknown")


def probe_at(column: str, text: str, part: str = "") -> Probe:
    """Read where a thermocouple sat; `part` is meant where the words name none. Names of parts go in any case.

    >>> probe_at("t1", "U20 corner joint")[2:], probe_at("t2", "body top", "U5")[2:], probe_at("t3", "somewhere")[2:]
    (('U20', 'joint'), ('U5', 'body top'), ('', ''))
    """
    found = next((place for place, words in _WORDS if words.search(text)), "")
    where = "" if _NOT_THERE.search(text) else found
    named = _PART.search(text)
    own = part if where in {JOINT, BODY} else ""
    return Probe(column, text, named[0].upper() if named else own, where)
