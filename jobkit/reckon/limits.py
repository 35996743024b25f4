"""Which limit a reading is held to, and the verdict."""

from __future__ import annotations

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design, PointWant
from jobkit.jobs.digest import manner
from jobkit.jobs.entries import Reading
from jobkit.units.kinds import KINDS
from jobkit.units.verdict import Verdict, judge
from jobkit.units.want import Want


def want_of(reading: Reading, design: Design | None) -> Want | None:
    """Find the limit of a reading: its own, else the board file's for the same manner, else None."""
    if reading.want is not None:
        return reading.want
    point = design.point(reading.point) if design else None
    return next((want.want for want in point.wants if _suits(want, reading)), None) if point else None


def fits(want: Want, kind: str | None) -> bool:
    """Tell whether a limit is in the unit of a kind of reading."""
    return kind is None or kind not in KINDS or want.open or want.unit == KINDS[kind].unit


def verdict_of(reading: Reading, __bench: Bench, design: Design | None) -> Verdict | None:
    """Judge a reading against its limit; None where there is no value, no limit, or the two do not fit."""
    want = want_of(reading, design)
    if reading.value is None or want is None or not fits(want, reading.kind):
        return None
    return judge(reading.value, want)


def _suits(want: PointWant, reading: Reading) -> bool:
    how = manner(reading)
    return (
        want.kind == reading.kind
        and want.state in {None, reading.state}
        and (want.to or "") == how.to
        and (want.red_on or "") == how.red_on
        and tuple(sorted(want.removed)) == how.removed
    )
