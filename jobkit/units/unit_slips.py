"""Slips in the unit of a quantity: another kind's, a prefix too many, capitals, everyday names."""

import re
from collections.abc import Mapping

from jobkit.units.grammar import NUMBER
from jobkit.units.kinds import KINDS, PREFIXES, SPELLINGS, UNITS, kinds_of, usual_units
from jobkit.units.slip import FindSlip, Slip, either, nearest, quoted

_NUMBER_AND_NAME = rf"({NUMBER}) (.+)"
_OTHER_PREFIXES = ("u", "\u03bc", "f", "c", "d", "da", "h", "T", "K")
_EVERYDAY: Mapping[str, str] = {
    **dict.fromkeys(("R", "Ohm", "Ohms", "ohms", "OHM", "Ω.", "Ω:"), "Ω"),
    **dict.fromkeys(("volt", "volts", "Volt", "Vdc", "VDC", "Vac", "VAC", "Vpp", "Vp-p", "Vrms"), "V"),
    **dict.fromkeys(("amp", "amps", "ampere", "Amp", "Amps", "Adc"), "A"),
    **dict.fromkeys(("farad", "Farad", "farads"), "F"),
    **dict.fromkeys(("henry", "Henry", "henries"), "H"),
    **dict.fromkeys(("hertz", "Hertz"), "Hz"),
    **dict.fromkeys(("watt", "watts", "Watt", "Watts"), "W"),
    **dict.fromkeys(
        ("C", "℃", "ºC", "˚C", "° C", "deg C", "°", "deg", "degrees", "Celsius", "celsius"), "°C"
    ),
    **dict.fromkeys(("℉", "ºF", "˚F", "° F", "deg F", "Fahrenheit"), "°F"),
    **dict.fromkeys(("°K", "kelvin", "Kelvin"), "K"),
}


def _prefix_alone(number: str, name: str, kind: str | None) -> Slip | None:
    prefix = {"K": "k", "u": "µ", "\u03bc": "µ"}.get(name, name)
    bases = [unit.symbol for unit in UNITS.values()] if kind is None else [KINDS[kind].unit]
    meant = tuple(f"{number} {prefix}{base}" for base in bases if prefix + base in SPELLINGS)
    if prefix not in PREFIXES or not meant:
        return None
    return Slip(f'the prefix "{name}" of {quoted(f"{number} {name}")} has no unit', meant)


def _other_kind(number: str, name: str, kind: str | None) -> Slip | None:
    spelling = SPELLINGS.get(name)
    if spelling is None or kind is None:
        return None
    message = f"{quoted(f'{number} {name}')} has a unit of {kinds_of(spelling.unit)[0]}, not of {kind}"
    mend = f"give it in {either(usual_units(kind))}, or change the kind to {either(kinds_of(spelling.unit))}"
    return Slip(message, mend=mend, other_kind=True)


def _capitals(number: str, name: str, kind: str | None) -> Slip | None:
    names = dict.fromkeys(SPELLINGS[one].usual for one in _known(kind) if one.casefold() == name.casefold())
    message = f"{quoted(name)} is not a unit as capitals count in units"
    return Slip(message, tuple(f"{number} {one}" for one in names)) if names else None


def _prefixes(number: str, name: str, kind: str | None) -> Slip | None:
    """Find a second prefix, or one that does not go with its unit."""
    for prefix in (*PREFIXES, *_OTHER_PREFIXES):
        rest = SPELLINGS.get(name.removeprefix(prefix))
        if rest is None or (kind is not None and rest.unit != KINDS[kind].unit):
            continue
        if rest.exponent:
            meant = dict.fromkeys((f"{number} {prefix}{rest.unit}", f"{number} {rest.usual}"))
            return Slip(f"{quoted(name)} has two prefixes", tuple(meant))
        units = usual_units(kinds_of(rest.unit)[0])
        takes = "takes no prefix" if len(units) == 1 else f'does not take the prefix "{prefix}" here'
        return Slip(f"{rest.usual} {takes}", (), f"give it in {either(units)}")
    return None


def _everyday(number: str, name: str, kind: str | None) -> Slip | None:
    known = _known(kind)
    for wrong, right in _EVERYDAY.items():
        meant = name.removesuffix(wrong) + right
        if name.endswith(wrong) and meant in known:
            return Slip(f"{quoted(name)} is not a unit", (f"{number} {SPELLINGS[meant].usual}",))
    return None


def _unknown(number: str, name: str, kind: str | None) -> Slip:
    message = f"{quoted(name)} is not a unit" + (f" of {kind}" if kind else "")
    near = nearest(name, _known(kind))
    if near is not None and not _alike_in_prefix_only(name, near):
        return Slip(message, (f"{number} {SPELLINGS[near].usual}",))
    return Slip(message, mend=f"give it in {either(usual_units(kind) if kind else tuple(UNITS))}")


def _alike_in_prefix_only(name: str, known: str) -> bool:
    """Tell kg from a slip for kΩ: what it has of the unit is the prefix."""
    unit = known[1:] if SPELLINGS[known].exponent else known
    return not set(name) & set(unit)


def _known(kind: str | None) -> tuple[str, ...]:
    return tuple(one for one in SPELLINGS if kind is None or SPELLINGS[one].unit == KINDS[kind].unit)


_SLIPS = (_prefix_alone, _other_kind, _capitals, _prefixes, _everyday, _unknown)


def _unit_slip(text: str, kind: str | None) -> Slip | None:
    found = re.fullmatch(_NUMBER_AND_NAME, text)
    if found is None:
        return None
    return next(slip for find in _SLIPS if (slip := find(found[1], found[2], kind)) is not None)


UNIT_SLIPS: tuple[FindSlip, ...] = (_unit_slip,)
"""Looked for once the number is sound."""
