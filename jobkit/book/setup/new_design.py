"""A first board file: what follows from the kind of board, its processor and its memory; the rest is yours."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from jobkit.book.edit.written import block
from jobkit.jobs.settings import Proof
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError

SIDES = ("left column", "top row", "right column", "bottom row")
"""Where memory packages lie, seen from the parts side with the edge connector below, in the order of `--memory`."""

_HEAD = """\
#:schema ../schema/board.schema.json
# A first board file. Check the names of parts and channels against the board, and fill in as you learn:
# - of a [[point]]: where = "coil L3, the end towards the processor"
# - of a [[rail]]: nominal, feeds, through; that VCORE and VMEM are made from V12 is common practice, so check it
# - limits: `jobkit usual {design} --write` proposes them once good boards have been measured
"""
_CAUSES = """\
# Weights and probabilities are first estimates without a source: change them as your jobs teach.
"""

_NUMBERED = re.compile(r"([A-Za-z]{1,4})([0-9]{1,5})")
_VOLTS = re.compile(r"V([0-9]{1,2})(?:V([0-9]{1,2}))?[A-Z]?")
_MOST = 64


class Skeleton(NamedTuple):
    """What is known of a new design: how many memory packages are on each side, and how many channels each serves.

    `first` is the part name of the first package; the others are numbered on, side by side. `proof` is what the bench
    asks of boards of this kind.
    """

    design: str
    kind: str = ""
    processor: str = ""
    memory: tuple[int, int, int, int] = (0, 0, 0, 0)
    first: str = "U1"
    channels: int = 2
    proof: Proof | None = None

    @property
    def packages(self) -> int:
        """Count the memory packages."""
        return sum(self.memory)


def memory_layout(text: str) -> tuple[int, int, int, int]:
    """Read how many packages are on each side: "2,2,2,2" is left, top, right, bottom; "8" is spread evenly.

    >>> memory_layout("2,2,2,2"), memory_layout("6"), memory_layout("0,4,0,4")
    ((2, 2, 2, 2), (2, 1, 2, 1), (0, 4, 0, 4))
    """
    parts = [part.strip() for part in re.split(r"[,\s]+", text.strip())]
    if (
        not all(part.isdecimal() for part in parts)
        or len(parts) not in {1, 4}
        or sum(map(int, parts)) > _MOST
    ):
        raise MisuseError(
            f'memory cannot be "{text}"',
            "write how many packages, as in 8, or how many on the left, top, right, bottom, as in 2,2,2,2",
        )
    if len(parts) == 1:
        each, rest = divmod(int(parts[0]), 4)
        # What does not come out even goes to the columns first.
        left, right, top = (each + (rest > place) for place in range(3))
        return left, top, right, each
    left, top, right, bottom = map(int, parts)
    return left, top, right, bottom


def board_text(skeleton: Skeleton) -> str:
    """Write the board file; raises MisuseError where the first package has no number to count on from."""
    head = _HEAD.format(design=skeleton.design)
    tables = "\n\n".join(_tables(skeleton))
    return f"{head}{_top(skeleton)}\n\n{tables}\n"


def packages(skeleton: Skeleton) -> tuple[str, ...]:
    """Name the memory packages, side by side."""
    found = _NUMBERED.fullmatch(skeleton.first)
    if skeleton.packages and found is None:
        raise MisuseError(
            f'the first memory package cannot be "{skeleton.first}"', "write letters and a number, as in U1"
        )
    if not skeleton.packages or found is None:
        return ()
    letters, number = found[1].upper(), int(found[2])
    return tuple(f"{letters}{number + place}" for place in range(skeleton.packages))


def _top(skeleton: Skeleton) -> str:
    keys: dict[str, Any] = {"format": 1, "design": skeleton.design}
    for key in ("kind", "processor"):
        if value := getattr(skeleton, key):
            keys[key] = value
    return "\n".join(block((), keys, listed=False, lined_up=True)[1:])


def _tables(skeleton: Skeleton) -> Iterator[str]:
    points = _points(skeleton)
    rails = _rails(points, skeleton)
    yield from (_table("rail", rail) for rail in rails.values())
    for name in points:
        yield _table("point", {"name": name, "rail": name} if name in rails else {"name": name})
    yield from (_table("memory", one) for one in _memory(skeleton))
    causes = [_table("cause", one) for one in _causes(skeleton)]
    if causes:
        yield _CAUSES + "\n\n".join(causes)
    yield from (_table("check", one) for one in _checks(skeleton))


def _table(name: str, keys: Mapping[str, Any]) -> str:
    return "\n".join(block((name,), keys, listed=True, lined_up=True))


def _points(skeleton: Skeleton) -> Sequence[str]:
    """Name the points: those that the bench wants proved cold, else the usual rails of such a board."""
    asked = skeleton.proof.cold_resistance if skeleton.proof else ()
    usual = ("VCORE" if skeleton.processor else "", "VMEM" if skeleton.packages else "", "V12")
    return asked or tuple(filter(None, usual))


def _rails(points: Sequence[str], skeleton: Skeleton) -> dict[str, dict[str, Any]]:
    """Give the rails of which it is known what they feed, or which others are made from them."""
    rails = {name: _rail(name, points, skeleton) for name in points}
    sources = {rail.get("made_from") for rail in rails.values()}
    return {name: rail for name, rail in rails.items() if "feeds" in rail or name in sources}


def _rail(name: str, points: Sequence[str], skeleton: Skeleton) -> dict[str, Any]:
    """Say of a rail what its name says; the core rail feeds the processor, the memory rail the packages."""
    rail: dict[str, Any] = {"name": name}
    if volts := _VOLTS.fullmatch(name):
        rail["nominal"] = f"{volts[1]}.{volts[2]} V" if volts[2] else f"{volts[1]} V"
    made_from = {"made_from": "V12"} if "V12" in points else {}
    if name == "VCORE" and skeleton.processor:
        rail |= {"feeds": [skeleton.processor], "core": True, **made_from}
    if name == "VMEM" and skeleton.packages:
        rail |= {"feeds": list(packages(skeleton)), **made_from}
    return rail


def _memory(skeleton: Skeleton) -> Iterator[dict[str, Any]]:
    parts = iter(packages(skeleton))
    number = 0
    for side, count in zip(SIDES, skeleton.memory, strict=True):
        for place in range(1, count + 1):
            number += 1
            where = f"{side}, {place}" if count > 1 else side
            yield {"part": next(parts), "channels": _channels(number, skeleton.channels), "place": where}


def _channels(number: int, each: int) -> list[str]:
    return [str(number)] if each == 1 else [f"{number}L", f"{number}H"]


def _causes(skeleton: Skeleton) -> Iterator[dict[str, Any]]:
    memory = list(_memory(skeleton))
    for one in memory:
        affects = dict.fromkeys(one["channels"], 0.9)
        yield {"name": f"{one['part']} or its joints", "part": one["part"], "affects": affects}
    if skeleton.processor and memory:
        every = dict.fromkeys((channel for one in memory for channel in one["channels"]), 0.3)
        yield {"name": "processor or its joints", "part": skeleton.processor, "affects": every}


def _checks(skeleton: Skeleton) -> Iterator[dict[str, Any]]:
    proof = skeleton.proof
    asked = tuple(proof.function) if proof else ()
    memory = ("memory test",) if skeleton.packages else ()
    for name in dict.fromkeys((*asked, *memory)):
        yield {"name": name, "state": "powered"}
    if proof and proof.load and proof.load.run:
        minutes = {"minutes": proof.load.minutes} if proof.load.minutes else {}
        yield {"name": proof.load.run, **minutes, "state": "powered"}
