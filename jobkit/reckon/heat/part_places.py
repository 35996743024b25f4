"""Where each part is: on the board or off it, followed through the pieces of work in the order of time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Set
from datetime import datetime
from operator import itemgetter
from typing import Generic, TypeVar

from jobkit.jobs.entries import Work
from jobkit.jobs.facts import Facts, WorkRow
from jobkit.jobs.memoise import memoise_last
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.heat.warm import is_soldered

Piece = TypeVar("Piece", Work, WorkRow)
"""A piece of work, as the job has it or as the small row of its facts."""

_OFF, _ON = "remove", frozenset(("fit", "swap"))


class Move(NamedTuple, Generic[Piece]):
    """A piece of work that took a part off the board or put one on, and what was there before.

    `was_on` tells whether the part was on the board, `last` is the move of the same part before this one.
    """

    work: Piece
    part: str
    was_on: bool
    last: Piece | None

    @property
    def is_removal(self) -> bool:
        """Tell whether the part was taken off and nothing was put in its place."""
        return self.work.did == _OFF


def moves(work: Iterable[Piece], missing: Set[str] = frozenset()) -> Iterator[Move[Piece]]:
    """Follow the soldered parts of a board; `missing` are those that were not on it at the beginning.

    A piece of work without a time counts as done right after the one before it in the file.
    """
    on: dict[str, bool] = {}
    last: dict[str, Piece] = {}
    for one in in_order(work):
        if not one.part or not _is_move(one) or not (one.part in on or is_soldered(one)):
            continue
        was_on = on.get(one.part, one.part not in missing)
        yield Move(one, one.part, was_on, last.get(one.part))
        on[one.part], last[one.part] = one.did in _ON, one


def off_the_board(work: Iterable[Work], missing: Set[str] = frozenset()) -> tuple[str, ...]:
    """Name the parts that were soldered off and not fitted again, in the order in which they came off."""
    off = dict.fromkeys(sorted(missing))
    for move in moves(work, missing):
        off.pop(move.part, None)
        if move.is_removal:
            off[move.part] = None
    return tuple(off)


def left_off_by(stays: Iterable[Facts]) -> dict[str, str]:
    """Name the parts that are off a board after these stays, in order of time, each with the job that left it off."""
    off: dict[str, str] = {}
    for stay in stays:
        off = {**dict.fromkeys(stay.missing, stay.id), **off}
        for move in moves(stay.work, off.keys()):
            off.pop(move.part, None)
            if move.is_removal:
                off[move.part] = stay.id
    return off


def left_off(work: Iterable[Work | WorkRow]) -> frozenset[str]:
    """Name the parts that were removed last and not fitted again, in the order of the file."""
    off: set[str] = set()
    for one in work:
        if one.part and one.did == _OFF:
            off.add(one.part)
        elif one.part and one.did in _ON:
            off.discard(one.part)
    return frozenset(off)


def _is_move(one: Work | WorkRow) -> bool:
    return one.did == _OFF or one.did in _ON


@memoise_last
def in_order(work: Iterable[Piece]) -> tuple[Piece, ...]:
    """Sort pieces of work by time; one without a time stays behind the one before it in the file."""
    latest = datetime.min
    timed = []
    for one in work:
        latest = one.at or latest
        timed.append((latest, one))
    return tuple([one for _, one in sorted(timed, key=itemgetter(0))])
