"""Boards kept for parts: what has been taken off each, and what is still on it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from jobkit.jobs.design import Design
from jobkit.jobs.facts import Day, Facts
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.heat.part_places import left_off

KEPT = "kept-for-parts"


class Taken(NamedTuple):
    """A part of a donor: its place there ("" where the job does not say), what it is, and where it went and when."""

    part: str
    item: str
    job: str
    onto: str
    day: Day


class Donor(NamedTuple):
    """A board kept for parts: what was taken off it, by day, and which packages of the board file it should still have.

    `faulty` is the part that was its fault, which is no longer offered.
    """

    facts: Facts
    taken: tuple[Taken, ...]
    still_on: tuple[str, ...]
    faulty: str


def donors(facts: Iterable[Facts], designs: Mapping[str, Design]) -> tuple[Donor, ...]:
    """List the boards kept for parts, by id.

    What is still on a board are the packages of its board file, less those taken, the one at fault, and those that were
    removed while it was on the bench and not fitted again. Whether they are good, and dry, nobody has said.
    """
    known = tuple(facts)
    kept = sorted((one for one in known if one.fate == KEPT), key=lambda one: one.id)
    taken = taken_from(known)
    return tuple(_donor(one, taken.get(one.id, ()), designs.get(one.design)) for one in kept)


def taken_from(facts: Iterable[Facts]) -> Mapping[str, list[Taken]]:
    """Gather what was taken off other boards, by the id of the donor's job, in order of time."""
    found: dict[str, list[Taken]] = {}
    for one in facts:
        for took in one.used:
            if took.from_donor:
                part = took.off
                found.setdefault(took.source, []).append(Taken(part, took.item, one.id, took.part, took.day))
    for taken in found.values():
        taken.sort(key=lambda each: (each.day, each.job))
    return found


def _donor(one: Facts, taken: Iterable[Taken], design: Design | None) -> Donor:
    gone = {each.part for each in taken} | left_off(one.work) | {one.cause_part}
    packages = dict.fromkeys(package.part for package in design.packages) if design else {}
    still_on = tuple(part for part in packages if part and part not in gone)
    return Donor(one, tuple(taken), still_on, one.cause_part)
