"""Cells of a log as numbers in base units: 1.2 kW is 1200, 212 °F is 100 °C."""

from __future__ import annotations

import math
import re

from jobkit.named_tuple import NamedTuple
from jobkit.units.kinds import SPELLINGS
from jobkit.units.temperature import SCALES

_TEMPERATURES = {"C": "°C", "deg C": "°C", "F": "°F", "deg F": "°F"}
"""`F` alone is a farad elsewhere; what a log records is a temperature."""

_NUMBER = re.compile(r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]+)?")
_NO_VALUE = frozenset({"", "-", "--", "---", "n/a", "na", "nan", "null", "none"})


class UnitScale(NamedTuple):
    """How numbers of a column become numbers in its base unit: less `zero`, times `factor`, by `divisor`."""

    unit: str
    zero: float = 0.0
    factor: float = 1.0
    divisor: float = 1.0

    def apply(self, values: list[float]) -> list[float]:
        """Convert the numbers of a column; NaN stays NaN."""
        zero, factor, divisor = self.zero, self.factor, self.divisor
        if (zero, factor, divisor) == (0.0, 1.0, 1.0):
            return values
        return [(value - zero) * factor / divisor for value in values]


def unit_scale(written: str) -> UnitScale:
    """Return the scale of a unit as written in a header; one that jobkit does not know stays as it is.

    >>> unit_scale("°F").apply([212.0]), unit_scale("kW").apply([0.23]), unit_scale("rpm")
    ([100.0], [230.0], UnitScale(unit='rpm', zero=0.0, factor=1.0, divisor=1.0))
    """
    spelling = SPELLINGS.get(_TEMPERATURES.get(written, written))
    if spelling is None:
        return UnitScale(written)
    if spelling.scale:
        scale = SCALES[spelling.scale]
        return UnitScale(spelling.unit, float(scale.at_zero), float(scale.kelvins), float(scale.degrees))
    # Division by a power of ten rounds once; multiplication by its inverse rounds twice.
    up, down = max(spelling.exponent, 0), max(-spelling.exponent, 0)
    return UnitScale(spelling.unit, 0.0, 10.0**up, 10.0**down)


def read_number(cell: str, decimal: str) -> float | None:
    """Return the number in a cell: NaN where the cell says that there is no value, None where it is not a number.

    >>> read_number("−3,5", ","), read_number("n/a", ","), read_number("3.5", ",")
    (-3.5, nan, None)
    """
    if cell.casefold() in _NO_VALUE:
        return math.nan
    text = cell.replace("−", "-")
    if decimal != ".":
        if "." in text:
            return None
        text = text.replace(decimal, ".")
    if not _NUMBER.fullmatch(text):
        return None
    value = float(text)
    return value if math.isfinite(value) else None


def read_plain_numbers(cells: list[str], decimal: str) -> list[float] | None:
    """Return the numbers of a column all at once; None if one of the cells needs a closer look."""
    joined = "".join(cells)
    if not joined.isascii() or "_" in joined or (decimal != "." and "." in joined):
        return None
    try:
        values = list(map(float, cells if decimal == "." else [cell.replace(decimal, ".") for cell in cells]))
    except ValueError:
        return None
    return values if math.isfinite(sum(values)) else None
