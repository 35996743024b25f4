"""The names in the name of a symptom: which point, channel, check or part "VMEM2 voltage low" is about.

It reads what `symptoms` writes. A point may have a name that looks like more, so all readings are given, and whoever
asks keeps those that the board file knows.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Literal

from jobkit.named_tuple import NamedTuple
from jobkit.units.kinds import KINDS

Sort = Literal["subject", "channel", "part", "end"]

_OWN = {" single data lines": "channel", " seen damaged": "part", " warms first": "part"}
"""How the names of symptoms end that are about one channel or part."""
_WITHOUT = re.compile(r" without ((?:[^,]+(?:, )?)+)$")
_LIMIT_END = re.compile(r" (?:low|high|outside)$")
_KIND = re.compile(rf" (?:{'|'.join(map(re.escape, KINDS))})$")


class NameIn(NamedTuple):
    """A name within the name of a symptom, by its offsets.

    A subject is a point, a channel or a check; an end is the other end of a measurement: a point, a rail or a part.
    """

    sort: Sort
    start: int
    end: int


def names_in_symptom(symptom: str) -> tuple[NameIn, ...]:
    """Return what may be a name within the name of a symptom, each place once, the whole of it first.

    >>> [(one.sort, "VMEM to J1 low"[one.start : one.end]) for one in names_in_symptom("VMEM to J1 low")][-2:]
    [('subject', 'VMEM to J1'), ('end', 'J1')]
    """
    return tuple(dict.fromkeys(_names(symptom)))


def _names(symptom: str) -> Iterator[NameIn]:
    yield NameIn("subject", 0, len(symptom))
    for ending, sort in _OWN.items():
        if symptom.endswith(ending):
            yield NameIn("channel" if sort == "channel" else "part", 0, len(symptom) - len(ending))
    place = symptom
    without = _WITHOUT.search(symptom)
    if without:
        for part in re.finditer(r"[^,]+", without[1]):
            lead = len(part[0]) - len(part[0].lstrip())
            yield NameIn("part", without.start(1) + part.start() + lead, without.start(1) + part.end())
        place = symptom[: without.start()]
    for shorter in (place, *_without_ends(place)):
        yield from _of_place(shorter)


def _without_ends(place: str) -> Iterator[str]:
    """Yield a text without the end of a limit, without the kind of a reading, and without both."""
    for pattern in (_LIMIT_END, _KIND):
        found = pattern.search(place)
        if found:
            place = place[: found.start()]
            yield place


def _of_place(place: str) -> Iterator[NameIn]:
    yield NameIn("subject", 0, len(place))
    near, to, far = place.partition(" to ")
    if to:
        yield NameIn("subject", 0, len(near))
        yield NameIn("end", len(place) - len(far), len(place))
