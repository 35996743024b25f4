"""A second reader of quantities and limits, written apart from the first: one table of patterns, exact fractions.

It shares no code and no table with jobkit.units; it answers with bounds only, and with None where it refuses.
"""

import re
from fractions import Fraction
from itertools import product
from typing import NamedTuple

_MICRO = ("u", "\u00b5", "\u03bc")
_POWERS = {"p": -12, "n": -9, **dict.fromkeys(_MICRO, -6), "m": -3, "": 0, "k": 3, "M": 6, "G": 9}
_NAMES = {
    "resistance": (("\u03a9", "\u2126", "ohm"), ("", *_MICRO, "m", "k", "M", "G")),
    "voltage": (("V",), ("", *_MICRO, "m", "k")),
    "diode": (("V",), ("", *_MICRO, "m", "k")),
    "ripple": (("V",), ("", *_MICRO, "m", "k")),
    "current": (("A",), ("", "n", *_MICRO, "m")),
    "capacitance": (("F",), ("", "p", "n", *_MICRO, "m")),
    "inductance": (("H",), ("", "p", "n", *_MICRO, "m")),
    "frequency": (("Hz",), ("", "k", "M", "G")),
    "power": (("W",), ("", *_MICRO, "m", "k")),
    "temperature": (("°C", "degC", "K", "°F", "degF"), ("",)),
    "fan speed": (("rpm",), ("",)),
    "frame rate": (("fps",), ("",)),
}
_CODE_POWERS = {
    "resistance": {"R": 0, "K": 3, "k": 3, "M": 6, "G": 9, "L": -3},
    "capacitance": {"F": 0, "p": -12, "n": -9, **dict.fromkeys(_MICRO, -6), "m": -3},
    "inductance": {"p": -12, "n": -9, **dict.fromkeys(_MICRO, -6), "m": -3},
}


class Bounds(NamedTuple):
    """The ends of a limit as fractions; both None for an open one."""

    low: Fraction | None
    high: Fraction | None


def read_quantity(text: str, kind: str) -> Fraction | None:
    """Read a finite quantity of a kind."""
    found = re.fullmatch(f"(?:{_quantity(kind)})", text)
    return None if found is None else _value(text, kind)


def read_limit(text: str, kind: str) -> Bounds | None:
    """Read a limit of a kind."""
    if text == "OL":
        return Bounds(None, None)
    quantity, number, tolerance = f"(?:{_quantity(kind)})", _number(), _tolerance(kind)
    patterns = (
        (rf"(?P<sign>>=|≥|<=|≤) *(?P<end>{quantity})", _one_end),
        (rf"(?P<low>{number}|{quantity}) *\.\. *(?P<high>{quantity})", _two_ends),
        (rf"(?P<mid>{quantity}) *(?:±|\+/-) *(?P<both>{tolerance})", _around),
        (rf"(?P<mid>{quantity}) *\+ *(?P<up>{tolerance}) */ *[-−] *(?P<down>{tolerance})", _around),
        (rf"(?P<mid>{quantity}) *[-−] *(?P<down>{tolerance}) */ *\+ *(?P<up>{tolerance})", _around),
    )
    for pattern, bounds in patterns:
        found = re.fullmatch(pattern, text)
        if found is not None:
            return bounds(found.groupdict(), kind)
    return None


def _one_end(parts: dict[str, str], kind: str) -> Bounds:
    end = _value(parts["end"], kind)
    return Bounds(end, None) if parts["sign"] in ">=≥" else Bounds(None, end)


def _two_ends(parts: dict[str, str], kind: str) -> Bounds:
    low, high = parts["low"], parts["high"]
    if re.fullmatch(_number(), low):
        low = (
            re.sub(r"^[+\-−]?[0-9.]+ ", low + " ", high)
            if " " in high
            else low + " " + _unit_of_code(high, kind)
        )
    return Bounds(_value(low, kind), _value(high, kind))


def _around(parts: dict[str, str], kind: str) -> Bounds:
    middle = _value(parts["mid"], kind)
    up, down = parts.get("up") or parts["both"], parts.get("down") or parts["both"]
    return Bounds(middle - _size(down, middle, kind), middle + _size(up, middle, kind))


def _size(tolerance: str, middle: Fraction, kind: str) -> Fraction:
    if tolerance.endswith("%"):
        return abs(middle) * Fraction(tolerance.rstrip("% ")) / 100
    number, unit = tolerance.split(" ")
    if kind == "temperature":
        return Fraction(number) * (Fraction(5, 9) if unit.endswith("F") else 1)
    return _value(tolerance, kind)


def _value(text: str, kind: str) -> Fraction:
    if " " not in text:
        letter = next(one for one in text if not one.isdigit())
        return Fraction(text.replace(letter, ".").rstrip(".")) * Fraction(10) ** _CODE_POWERS[kind][letter]
    number, unit = text.replace("−", "-").split(" ")
    if kind == "temperature":
        return _celsius(Fraction(number), unit)
    return Fraction(number) * Fraction(10) ** _units(kind)[unit]


def _celsius(number: Fraction, unit: str) -> Fraction:
    if unit == "K":
        return number - Fraction("273.15")
    return (number - 32) * 5 / 9 if unit.endswith("F") else number


def _unit_of_code(code: str, kind: str) -> str:
    letter = next(one for one in code if not one.isdigit())
    power = _CODE_POWERS[kind][letter]
    return next(unit for unit, other in _units(kind).items() if other == power)


def _units(kind: str) -> dict[str, int]:
    names, prefixes = _NAMES[kind]
    return {prefix + name: _POWERS[prefix] for prefix, name in product(prefixes, names)}


def _number() -> str:
    return r"[+\-−]?[0-9]+(?:\.[0-9]+)?"


def _quantity(kind: str) -> str:
    letters = "".join(_CODE_POWERS.get(kind, ()))
    code = rf"|[0-9]+[{letters}][0-9]*|[{letters}][0-9]+" if letters else ""
    return f"{_number()} (?:{'|'.join(_units(kind))}){code}"


def _tolerance(kind: str) -> str:
    percent = "" if kind == "temperature" else r"[0-9]+(?:\.[0-9]+)? *%|"
    return rf"(?:{percent}[0-9]+(?:\.[0-9]+)? (?:{'|'.join(_units(kind))}))"
