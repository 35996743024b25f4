"""Limits for the board file, proposed from what good boards read.

A proposal is the tolerance interval, or the one-sided tolerance limit where the board file's limit has one side. It is
rounded outwards so that it holds no less than it says: to the second digit of the standard deviation, on the
logarithmic scale to three digits of each end. The ends are of values as meters show them, so a guarded decision still
keeps its distance from them.

The dangerous side is never left open. A short reads low, so a resistance gets a lower end even where the limit written
by hand has an upper one alone; and a lower end below a tenth of the lowest good reading of a quantity that cannot be
negative is not proposed at all, because it would let a short pass.
"""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal

from jobkit.named_tuple import NamedTuple
from jobkit.reckon.readings.usual import FEWEST, SMALLEST_SHARE, Usual
from jobkit.units.exact import EXACT
from jobkit.units.kinds import NEVER_NEGATIVE
from jobkit.units.written import write_out

_WOULD_ADMIT_A_SHORT = (
    "the boards differ so much that the lower end would be below a tenth of the lowest reading: "
    "a short would be in"
)


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
    return _one_sided(row) if _has_one_side(row) else _two_sided(row)


def _has_one_side(row: Usual) -> bool:
    return row.bound is not None and not (row.bound.side == "high" and row.manner.kind == "resistance")


def _one_sided(row: Usual) -> tuple[str, str]:
    assert row.bound is not None
    if row.bound.side == "high":
        return f"<= {write_out(_rounded(row, row.bound.value, ROUND_CEILING), row.unit)}", ""
    low = _rounded(row, row.bound.value, ROUND_FLOOR)
    return ("", _WOULD_ADMIT_A_SHORT) if _too_low(row, low) else (f">= {write_out(low, row.unit)}", "")


def _two_sided(row: Usual) -> tuple[str, str]:
    assert row.interval is not None
    low = _rounded(row, row.interval.low, ROUND_FLOOR)
    high = _rounded(row, row.interval.high, ROUND_CEILING)
    if _too_low(row, low):
        return "", _WOULD_ADMIT_A_SHORT
    return f"{write_out(low, row.unit)} .. {write_out(high, row.unit)}", ""


def _too_low(row: Usual, low: Decimal) -> bool:
    assert row.moments is not None
    floor = EXACT.multiply(SMALLEST_SHARE, row.moments.lowest)
    return row.manner.kind in NEVER_NEGATIVE and low <= max(floor, Decimal(0))


def _rounded(row: Usual, end: Decimal, direction: str) -> Decimal:
    """Round an end of the interval outwards."""
    assert row.moments is not None
    assert row.moments.sd
    if row.scale == "log":
        return Context(prec=3, rounding=direction).plus(end)
    return end.quantize(Decimal(1).scaleb(row.moments.sd.adjusted() - 1), direction, EXACT)
