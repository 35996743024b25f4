"""Several figures of one quantity, written with one prefix and to one place, so that the eye can compare them."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import ROUND_HALF_EVEN, Context, Decimal

from jobkit.named_tuple import NamedTuple
from jobkit.units.exact import EXACT
from jobkit.units.kinds import PREFIXES, UNITS
from jobkit.units.written import plain_digits, show


class Scale(NamedTuple):
    """A unit with its prefix, and how much is shown: to a place, a power of ten of the base unit, or so many digits."""

    unit: str
    exponent: int
    place: int | None
    digits: int = 12

    def figure(self, value: Decimal | None) -> str:
        """Write a figure without its unit; nothing for None.

        >>> Scale("mΩ", -3, -4).figure(Decimal("0.36973684"))
        '369.7'
        """
        if value is None:
            return ""
        if self.place is None:
            rounded = Context(prec=self.digits, rounding=ROUND_HALF_EVEN).plus(value)
            return plain_digits(EXACT.scaleb(rounded, -self.exponent))
        rounded = value.quantize(Decimal(1).scaleb(self.place), ROUND_HALF_EVEN, EXACT)
        shown = f"{EXACT.scaleb(rounded, -self.exponent):f}"
        return shown.replace("-", "−")


def scale_for(values: Iterable[Decimal], unit: str, spread: Decimal | None) -> Scale:
    """Choose the prefix by the largest figure, and the place so that the spread has two digits.

    Without a spread (None or 0) twelve digits are shown, idle zeros left out.

    >>> scale_for([Decimal("0.0415"), Decimal("0.0421")], "Ω", Decimal("0.0003"))
    Scale(unit='mΩ', exponent=-3, place=-5, digits=12)
    """
    largest = max((value.copy_abs() for value in values), default=Decimal(0))
    known = UNITS.get(unit)
    prefix = ""
    if known and largest and not Decimal("0.1") <= largest < 1000:
        fitting = [each for each in known.prefixes if PREFIXES[each] <= largest.adjusted()]
        smallest = min(known.prefixes, key=PREFIXES.__getitem__)
        prefix = max(fitting or [smallest], key=PREFIXES.__getitem__)
    return Scale(prefix + unit, PREFIXES[prefix], spread.adjusted() - 1 if spread else None)


def ends(low: Decimal, high: Decimal, unit: str, spread: Decimal | None) -> str:
    """Write a range with one unit.

    >>> ends(Decimal("21.6330887"), Decimal("25.0237534"), "Ω", Decimal("0.607"))
    '21.63 .. 25.02 Ω'
    """
    shown = scale_for((low, high), unit, spread)
    return f"{shown.figure(low)} .. {shown.figure(high)} {shown.unit}"


def far_ends(low: Decimal, high: Decimal, unit: str) -> str:
    """Write a range whose ends may lie decades apart, each end with a prefix of its own.

    >>> far_ends(Decimal("0.00048081"), Decimal("62400.7"), "Ω")
    '481 µΩ .. 62.4 kΩ'
    """
    return f"{show(low, unit)} .. {show(high, unit)}"
