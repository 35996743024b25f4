"""What can be observed on a board, by the names that `affects` of a board file uses.

A channel of the memory and a check go by their own name. A reading goes by its point, its kind and the end of the limit
that it is beyond: "VMEM2 voltage low". `affects` may leave out kind or end: a cause that affects "VMEM2" affects each
kind of reading there, and either end.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import fsum

from jobkit.jobs.design import Check, Design, Point, PointLimit
from jobkit.jobs.entries import Reading
from jobkit.named_tuple import NamedTuple
from jobkit.units.limit import Limit

SUREST = 0.999
"""No test is surer than this: a probability of 1 would let one wrong entry rule a cause out for good."""


WARMS_FIRST = " warms first"
"""How the names of what an injection shows end."""


class Symptom(NamedTuple):
    """Something that fails or passes. `subject` is what is tested or read: two ends of a limit have one.

    `keys` are the names under which `affects` may have it, the closest first; a name that leaves open which of several
    ends is meant has their number beside it. `off` are the parts that were off the board: a cause in them makes nothing
    fail. A reading as a whole has `ends` instead of keys: it is outside if one of them is passed.
    """

    name: str
    subject: str
    keys: tuple[tuple[str, int], ...] = ()
    off: frozenset[str] = frozenset()
    ends: tuple[Symptom, ...] = ()

    def probability(self, affects: Mapping[str, float]) -> float:
        """Return with which probability a cause makes this fail; 0 if it does not affect this.

        A probability that leaves the end open belongs to each of the n ends by an n-th.
        """
        if self.ends:
            return min(fsum(end.probability(affects) for end in self.ends), SUREST)
        for key, ends in self.keys:
            if key in affects:
                return affects[key] / ends
        return 0.0

    @property
    def is_end(self) -> bool:
        """Whether this is a reading beyond an end of its limit."""
        return self.name != self.subject


def named_symptom(name: str) -> Symptom:
    """Return what goes by its own name: a channel, a check, a part. "eye, 20 times" is "eye" too."""
    first = name.partition(",")[0]
    return Symptom(name, name, ((name, 1),) if first == name else ((name, 1), (first, 1)))


def looks_damaged(part: str) -> Symptom:
    """Return what the eye sees on a part."""
    return named_symptom(f"{part} seen damaged")


def warms_first(part: str) -> Symptom:
    """Return what an injection shows."""
    return named_symptom(f"{part}{WARMS_FIRST}")


def single_lines(channel: str) -> Symptom:
    """Return what a memory log shows of a failing channel: single data lines, and not whole words."""
    return named_symptom(f"{channel} single data lines")


def ends_of(limit: Limit | None) -> tuple[str, ...]:
    """Return the ends of a limit that a reading can be beyond; one that should be open reads low if it is not."""
    if limit is None:
        return ()
    if limit.open:
        return ("low",)
    ends = (("low", limit.low), ("high", limit.high))
    return tuple(end for end, value in ends if value is not None)


def reading_symptoms(
    point: str, kind: str, to: str | None, limit: Limit | None, removed: Sequence[str] = ()
) -> tuple[Symptom, ...]:
    """Return what a reading can show, one symptom for each end of its limit."""
    ends = ends_of(limit)
    place = f"{point} to {to}" if to else point
    without = f" without {', '.join(sorted(removed))}" if removed else ""
    return tuple(
        Symptom(
            f"{place} {kind} {end}{without}",
            f"{place} {kind}{without}",
            (
                (f"{place} {kind} {end}", 1),
                (f"{place} {kind}", len(ends)),
                (f"{place} {end}", 1),
                (place, len(ends)),
                *_general(kind, end, to),
            ),
            frozenset(removed),
        )
        for end in ends
    )


def outside(ends: tuple[Symptom, ...]) -> Symptom:
    """Return the symptom that a reading is outside its limit at any end."""
    return Symptom(f"{ends[0].subject} outside", ends[0].subject, off=ends[0].off, ends=ends)


_GENERAL = {("resistance", "low"): "supply resistance", ("voltage", "low"): "rail voltages"}
"""What a reading at any point of an undocumented board counts for."""


def _general(kind: str, end: str, to: str | None) -> tuple[tuple[str, int], ...]:
    return ((_GENERAL[kind, end], 1),) if to is None and (kind, end) in _GENERAL else ()


def symptoms_of_reading(reading: Reading, limit: Limit | None) -> tuple[Symptom, ...]:
    """Return what a reading that was taken can show."""
    return reading_symptoms(reading.point or "", reading.kind or "", reading.to, limit, reading.removed)


def symptoms_of_limit(point: Point, limit: PointLimit) -> tuple[Symptom, ...]:
    """Return what a reading that the board file has a limit for can show."""
    return reading_symptoms(point.name or "", limit.kind or "", limit.to, limit.limit, limit.removed)


def symptoms_of_check(check: Check, design: Design | None) -> tuple[Symptom, ...]:
    """Return what a check shows: what it covers, else the channels if it is a memory test, else itself."""
    names = check.covers or _covered(check.name or "", design)
    return tuple(symptom for name in names for symptom in _meant(name, check, design))


def names_of_symptoms(design: Design) -> frozenset[str]:
    """List every name that `affects` may use on a design."""
    names = {*design.channels(), *design.point_names, *design.check_names}
    names.update(name for check in design.checks for name in check.covers)
    names.update(single_lines(channel).name for channel in design.channels())
    for part in design.all_parts():
        names |= {looks_damaged(part).name, warms_first(part).name}
    for point in design.points:
        for limit in point.limits:
            names.update(key for symptom in symptoms_of_limit(point, limit) for key, _ in symptom.keys)
    return frozenset(names)


def is_memory_check(name: str, design: Design | None) -> bool:
    """Whether a check tests the channels of a memory map."""
    return bool(design and design.channels()) and "memory" in name.casefold()


def _covered(name: str, design: Design | None) -> tuple[str, ...]:
    return design.channels() if design and is_memory_check(name, design) else (name,)


def _meant(name: str, check: Check, design: Design | None) -> Iterator[Symptom]:
    """Yield what a name of `covers` means: for a point the readings that suit the state of the board."""
    point = design.point(name) if design else None
    if point is None:
        yield named_symptom(name)
        return
    for limit in point.limits:
        if (limit.state == "powered") == (check.state == "powered") and not limit.removed and not limit.to:
            yield from symptoms_of_limit(point, limit)
