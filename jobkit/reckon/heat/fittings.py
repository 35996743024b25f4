"""When parts were fitted: which fitting of a part came first after a moment."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping
from datetime import datetime

from jobkit.jobs.entries import Pad, Work

Fittings = Mapping[str, list[Work]]
"""The pieces of work that fit each part, in order."""


def fittings_by_part(work: Iterable[Work]) -> Fittings:
    """List by part the pieces of work that fit it, leaving out those no later than one before them in the file."""
    fittings: dict[str, list[Work]] = {}
    for one in work:
        if one.part and one.did in {"fit", "swap"}:
            earlier = fittings.setdefault(one.part, [])
            if not earlier or _when(one) > _when(earlier[-1]):
                earlier.append(one)
    return fittings


def fitted_on(pad: Pad, fittings: Fittings) -> Work | None:
    """Return the first fitting of the pad's part in the file that came after the damage was found."""
    of_part = fittings.get(pad.part or "", [])
    place = bisect_right(of_part, pad.at, key=_when) if pad.at else 0
    return of_part[place] if place < len(of_part) else None


def _when(work: Work) -> datetime:
    """Tell when a fitting counts: one without a time counts as after all else."""
    return work.at or datetime.max
