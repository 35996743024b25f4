"""Limits for the board file, proposed from what good boards read.

A proposal is the tolerance interval, rounded outwards so that it holds no less than it says: to the second digit of
the standard deviation, on the logarithmic scale to three digits of each end. A quantity that cannot be below 0 gets an
upper limit alone where the interval reaches below 0. The ends are of values as meters show them, so a guarded decision
still keeps its distance from them.
"""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal
from typing import NamedTuple

from jobkit.reckon.readings.usual import FEWEST, Usual
from jobkit.units.exact import EXACT
from jobkit.units.written import write_out

_NEVER_NEGATIVE = frozenset(("resistance", "capacitance", "inductance", "frequency", "power", "ripple"))


class Proposal(NamedTuple):
    """A limit for one manner, from `n` boards; or, where `limit` is "", why there is none."""

    usual: Usual
    limit: str
    n: int
    why_not: str = ""


def propose(row: Usual) -> Proposal:
    """Propose a limit from what is usual in one manner."""
    limit, why_not = _limit(row)
    return Proposal(row, limit, row.n + len(row.open), why_not)


def _limit(row: Usual) -> tuple[str, str]:
    if row.n + len(row.open) < FEWEST:
        return "", f"fewer than {FEWEST} boards"
    if not row.n:
        return "OL", ""
    if row.interval is None or row.moments is None:
        return "", "some boards read open, and some do not" if row.open else f"fewer than {FEWEST} boards"
    if not row.moments.sd:
        return "", "all readings are the same, so the spread is below the resolution of the meter"
    low, high = _rounded(row)
    if low <= 0 and row.manner.kind in _NEVER_NEGATIVE:
        return f"<= {write_out(high, row.unit)}", ""
    return f"{write_out(low, row.unit)} .. {write_out(high, row.unit)}", ""


def _rounded(row: Usual) -> tuple[Decimal, Decimal]:
    assert row.interval is not None
    assert row.moments is not None
    low, high, sd = row.interval.low, row.interval.high, row.moments.sd
    if row.scale == "log":
        return Context(prec=3, rounding=ROUND_FLOOR).plus(low), Context(prec=3, rounding=ROUND_CEILING).plus(
            high
        )
    assert sd
    place = Decimal(1).scaleb(sd.adjusted() - 1)
    return low.quantize(place, ROUND_FLOOR, EXACT), high.quantize(place, ROUND_CEILING, EXACT)
