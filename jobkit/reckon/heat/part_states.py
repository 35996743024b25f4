"""The state of each part that was moved: off, new, the same again or from a donor, over all stays of a board."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from jobkit.jobs.entries import Used, Work
from jobkit.jobs.job import Job
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.heat.fittings import used_by_fitting
from jobkit.reckon.heat.part_places import Move, moves

OFF, NEW, AGAIN, DONOR, FITTED = "off", "new", "again", "donor", "fitted"
"""`fitted` is a part of which the job does not say where it came from."""

_CAME = {"new": NEW, "same": AGAIN, "donor": DONOR}


class PartState(NamedTuple):
    """What became of a part: since when, by which job ("" where it was missing on arrival), and from which donor.

    A package that was fitted again after it had come from a donor keeps that donor.
    """

    part: str
    word: str
    at: datetime | None = None
    job: str = ""
    donor: str = ""


def part_states(stays: Iterable[Job]) -> dict[str, PartState]:
    """Follow the soldered parts of one board through its stays, which are in order of time.

    A part that is not listed is where it was when the board first came.
    """
    states: dict[str, PartState] = {}
    donors: dict[str, str] = {}
    for job in stays:
        for part in sorted(job.intake.missing - off_in(states)):
            states[part] = PartState(part, OFF)
        came_with = used_by_fitting(job.work, job.used)
        for move in moves(job.work, off_in(states)):
            work, part = move.work, move.part
            if move.is_removal:
                states[part] = PartState(part, OFF, work.at, job.id)
            else:
                states[part] = _fitted(move, came_with.get(work.path, ()), job.id, donors.get(part, ""))
                donors[part] = states[part].donor
    return states


def off_in(states: dict[str, PartState]) -> frozenset[str]:
    """Name the parts that are off the board."""
    return frozenset(part for part, state in states.items() if state.word == OFF)


def _fitted(move: Move[Work], used: Sequence[Used], job: str, before: str) -> PartState:
    """Say what was fitted: what the work says; where it is silent, a part used for it may have come from a donor.

    `before` is the donor of the package that was in that place before, "" for none.
    """
    donor = next((one.source or "" for one in used if one.from_donor), "")
    word = _CAME.get(move.work.came or "") or (DONOR if donor else FITTED)
    return PartState(move.part, word, move.work.at, job, {DONOR: donor, AGAIN: before}.get(word, ""))
