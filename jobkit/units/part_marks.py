"""Marks printed on parts, read as the values they mean: `103`, `4702`, `01C`.

Three digits are two figures and a power of ten, four digits three figures and a power of ten, in Ω, pF or µH (IEC
60062:2016 for resistors and capacitors, from memory; for coils common practice, no source). A 9 in the place of the
power means 10⁻¹ and an 8 for 10⁻² on capacitors (EIA-198, from memory). Two digits and a letter are the code of 1 %
resistors: the place of the value in the E96 series (IEC 60063:2015) and a power of ten (EIA-96, from memory).

A mark is never taken for a quantity: a meter shows such figures too. It is named as what may have been meant.
"""

import re
from decimal import ROUND_HALF_UP, Decimal

from jobkit.units.exact import EXACT, ROOT
from jobkit.units.kinds import KINDS
from jobkit.units.written import write_out

_DIGITS = r"([1-9][0-9]{1,2})([0-9])"
_WITH_TOLERANCE = r"([1-9][0-9]{2,3})[FGJKMZ]"
_E96 = r"(0[1-9]|[1-8][0-9]|9[0-6])([A-FHRSXYZ])"
_MARKED_IN = {"Ω": 0, "F": -12, "H": -6}
_POWERS = {
    "Z": -3,
    "Y": -2,
    "R": -2,
    "X": -1,
    "S": -1,
    "A": 0,
    "B": 1,
    "H": 1,
    "C": 2,
    "D": 3,
    "E": 4,
    "F": 5,
}
_LARGEST_POWER = 6


def marked(text: str, kind: str) -> str | None:
    """Write the value that a mark means on a part of this kind; None where the text is not such a mark.

    >>> marked("103", "capacitance"), marked("4702", "resistance"), marked("01C", "resistance")
    ('10 nF', '47 kΩ', '10 kΩ')
    """
    unit = KINDS[kind].unit
    if unit not in _MARKED_IN:
        return None
    value = _by_digits(text, unit)
    if value is None and unit == "Ω":
        value = _by_place_in_e96(text)
    return None if value is None else write_out(value, unit)


def _by_digits(text: str, unit: str) -> Decimal | None:
    tolerance = re.fullmatch(_WITH_TOLERANCE, text) if unit != "Ω" else None
    found = re.fullmatch(_DIGITS, tolerance[1] if tolerance else text)
    if found is None:
        return None
    power = int(found[2])
    if unit == "F" and power >= 8:
        power -= 10
    if power > _LARGEST_POWER:
        return None
    return EXACT.scaleb(Decimal(found[1]), power + _MARKED_IN[unit])


def _by_place_in_e96(text: str) -> Decimal | None:
    found = re.fullmatch(_E96, text)
    if found is None:
        return None
    figures = ROOT.power(Decimal(10), ROOT.add(2, ROOT.divide(Decimal(int(found[1]) - 1), Decimal(96))))
    return EXACT.scaleb(figures.to_integral_value(ROUND_HALF_UP), _POWERS[found[2]])
