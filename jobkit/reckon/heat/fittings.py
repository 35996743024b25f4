"""When parts were fitted: which fitting came first after a moment, and which one a part was used for."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from jobkit.jobs.entries import Pad, Used, Work
from jobkit.jobs.finding import Place
from jobkit.jobs.memoise import memoise_last
from jobkit.jobs.work_kinds import FITTINGS

Fittings = Mapping[str, list[Work]]
"""The pieces of work that fit each part, in order."""


def fittings_by_part(work: Iterable[Work]) -> Fittings:
    """List by part the pieces of work that fit it, leaving out those no later than one before them in the file."""
    fittings: dict[str, list[Work]] = {}
    for one in work:
        if one.part and one.did in FITTINGS:
            earlier = fittings.setdefault(one.part, [])
            if not earlier or _when(one) > _when(earlier[-1]):
                earlier.append(one)
    return fittings


def fitted_on(pad: Pad, fittings: Fittings) -> Work | None:
    """Return the first fitting of the pad's part in the file that came after the damage was found."""
    of_part = fittings.get(pad.part or "", [])
    place = bisect_right(of_part, pad.at, key=_when) if pad.at else 0
    return of_part[place] if place < len(of_part) else None


def pad_lack(pad: Pad) -> tuple[str, str] | None:
    """Tell which key says that a damaged pad is not whole, and how; None for one that was repaired and conducts."""
    if pad.repaired is None:
        return "repaired", "was not repaired"
    if pad.repaired == "left-open":
        return "repaired", "was left open" + (f" and carries {pad.carries}" if pad.carries else "")
    if pad.reads is None:
        return "reads", "was not measured after the repair"
    return ("reads", "still measures open") if pad.reads.open else None


@memoise_last
def used_with_fitting(work: Iterable[Work], used: Iterable[Used]) -> tuple[tuple[Used, Work], ...]:
    """Pair each part used with the fitting that it was used for: of several of its part, the nearest in time."""
    by_part: dict[str | None, list[Work]] = defaultdict(list)
    for one in sorted((one for one in work if one.part and one.did in FITTINGS), key=_begin):
        by_part[one.part].append(one)
    pairs = ((took, _nearest(took.at, by_part.get(took.part, ()))) for took in used)
    return tuple((took, fitting) for took, fitting in pairs if fitting)


def used_by_fitting(work: Iterable[Work], used: Iterable[Used]) -> Mapping[Place, Sequence[Used]]:
    """List the parts used for each fitting, by its place in the file."""
    found: dict[Place, list[Used]] = defaultdict(list)
    for took, fitting in used_with_fitting(work, used):
        found[fitting.path].append(took)
    return found


def _nearest(at: datetime | None, fittings: Sequence[Work]) -> Work | None:
    """Find the fitting nearest to a moment, the earlier of two as near; the first where the moment is not known."""
    if not fittings or at is None:
        return fittings[0] if fittings else None
    after = bisect_left(fittings, at, key=_begin)
    around = [fittings[number] for number in (after - 1, after) if 0 <= number < len(fittings)]
    return min(around, key=lambda work: abs(at - _begin(work)))


def _begin(work: Work) -> datetime:
    """Tell when a fitting began: one without a time counts as before all else."""
    return work.at or datetime.min


def _when(work: Work) -> datetime:
    """Tell when a fitting counts: one without a time counts as after all else."""
    return work.at or datetime.max
