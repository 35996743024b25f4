"""Which work brings heat to a board, and until when: what the rules on heat and power agree on."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from functools import lru_cache

from jobkit.jobs.entries import Work
from jobkit.jobs.facts import WorkRow

_SOLDERED = frozenset(("remove", "fit", "swap", "reflow"))
_WARMED = _SOLDERED | {"prepare", "bake"}

_SCREWED_OR_PLUGGED = re.compile(
    r"fan|cooler|heat ?sink|bracket|back ?plate|shroud|riser|cable|plug|screw", re.IGNORECASE
)
"""Words for what comes off and goes on without solder (common practice, no source)."""


def is_soldered(work: Work | WorkRow) -> bool:
    """Tell whether a part was soldered on the board: `remove`, `fit`, `swap` and `reflow`, but not of a fan or cooler.

    A piece of work that names its alloy or its heat log was soldered, whatever the part is called.
    """
    if work.did not in _SOLDERED or not work.part:
        return False
    return bool(work.alloy or work.heat) or is_soldered_part(work.did, work.part)


@lru_cache(4096)  # boards of one design have the same parts, and many rules ask
def is_soldered_part(did: str, part: str) -> bool:
    """Tell by the work and the name of the part alone whether it was soldered.

    >>> is_soldered_part("fit", "U3"), is_soldered_part("fit", "fan 2"), is_soldered_part("clean", "U3")
    (True, False, False)
    """
    return did in _SOLDERED and _SCREWED_OR_PLUGGED.search(part) is None


def is_warming(work: Work) -> bool:
    """Tell whether a piece of work leaves the board warm: soldering, an iron on pads, baking it, or a heat log.

    A bake that names a part is of a package on a tray.
    """
    if work.heat:
        return True
    if work.did in _SOLDERED:
        return is_soldered(work) if work.part else True
    return work.did in _WARMED and not (work.did == "bake" and work.part)


def end_of(work: Work) -> datetime | None:
    """Tell when a piece of work was over: `at` is its beginning, `minutes` or (of a bake) `hours` how long it took."""
    if work.at is None:
        return None
    hours = work.hours if work.did == "bake" else None
    minutes = hours * 60 if hours is not None else work.minutes
    return work.at + timedelta(minutes=float(minutes or 0))
