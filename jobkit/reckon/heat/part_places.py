"""Where each part is: on the board or off it, followed through the pieces of work in the order of time."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Set
from datetime import datetime
from operator import itemgetter
from typing import NamedTuple

from jobkit.jobs.entries import Work
from jobkit.jobs.facts import WorkRow
from jobkit.jobs.job import Job
from jobkit.jobs.memoise import memoise_last
from jobkit.reckon.heat.warm import is_soldered

PART_NAME = re.compile(r"\b[A-Z]{1,4}[0-9]{1,5}[A-Z]?\b")
"""What the name of a part on a board looks like: letters, then a number."""

_OFF, _ON = "remove", frozenset(("fit", "swap"))


class Move(NamedTuple):
    """A piece of work that took a part off the board or put one on, and what was there before.

    `was_on` tells whether the part was on the board, `last` is the move of the same part before this one.
    """

    work: Work
    part: str
    was_on: bool
    last: Work | None

    @property
    def is_removal(self) -> bool:
        """Tell whether the part was taken off and nothing was put in its place."""
        return self.work.did == _OFF


def moves(work: Iterable[Work], missing: Set[str] = frozenset()) -> Iterator[Move]:
    """Follow the soldered parts of a board; `missing` are those that were not on it at the beginning.

    A piece of work without a time counts as done right after the one before it in the file.
    """
    on: dict[str, bool] = {}
    last: dict[str, Work] = {}
    for one in in_order(work):
        if one.part is None or not _is_move(one) or not (one.part in on or is_soldered(one)):
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


def left_off(work: Iterable[Work | WorkRow]) -> frozenset[str]:
    """Name the parts that were removed last and not fitted again, in the order of the file."""
    off: set[str] = set()
    for one in work:
        if one.part and one.did == _OFF:
            off.add(one.part)
        elif one.part and one.did in _ON:
            off.discard(one.part)
    return frozenset(off)


def missing_on_arrival(job: Job) -> frozenset[str]:
    """Name the parts that were not on the board when it came: those that a line of `condition` calls missing.

    >>> from jobkit.jobs.job import Intake
    >>> intake = Intake(condition=("C44 missing", "scorch mark beside Q214"))
    >>> missing_on_arrival(Job("", "", intake=intake))
    frozenset({'C44'})
    """
    lines = (line for line in job.intake.condition if "missing" in line.casefold())
    return frozenset(part for line in lines for part in PART_NAME.findall(line))


def _is_move(one: Work) -> bool:
    return one.did == _OFF or one.did in _ON


@memoise_last
def in_order(work: Iterable[Work]) -> tuple[Work, ...]:
    """Sort pieces of work by time; one without a time stays behind the one before it in the file."""
    latest = datetime.min
    timed = []
    for one in work:
        latest = one.at or latest
        timed.append((latest, one))
    return tuple([one for _, one in sorted(timed, key=itemgetter(0))])
