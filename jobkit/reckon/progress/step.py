"""The steps of a job: the next one, and those of the proof policy."""

from __future__ import annotations

from decimal import Decimal

from jobkit.named_tuple import NamedTuple


class ReleaseStep(NamedTuple):
    """One step of the proof policy: its name, whether it is done, what still lacks, and which entries show it.

    A step shown by a trial also tells which `run` that is, for how many `minutes` where the policy says so, and
    whether it goes on `alone` once it is started: of all that is proved, the load run does. `basis` says on what a
    load run that is done rests: its log, or the technician's word.
    """

    name: str
    done: bool
    lacks: str = ""
    shown_by: str = ""
    run: str = ""
    minutes: Decimal | None = None
    alone: bool = False
    basis: str = ""


class NextStep(NamedTuple):
    """What a job needs next; "" where it is done.

    `minutes` are bench minutes, or the minutes it runs where it runs `alone`; None where nothing tells them.
    `waits_for` says what the job waits for; "" where nothing is in the way. `did` is the kind of work that it is, where
    it is one; a bake `on_a_tray` does not hold up the board.
    """

    step: str
    minutes: Decimal | None = None
    alone: bool = False
    waits_for: str = ""
    did: str = ""
    on_a_tray: bool = False
