"""What can be measured and the units it is written in: one row a kind, one row a unit.

Everything else in this room, the choices on the command line and the unit lists of the schema follow from
these two tables.
"""

from collections.abc import Iterator, Mapping

from jobkit.named_tuple import NamedTuple


class Kind(NamedTuple):
    """A kind of reading and the symbol of its base unit."""

    name: str
    unit: str


class Unit(NamedTuple):
    """A base unit, its ASCII spellings, the SI prefixes a bench meets with it, and its component code letters.

    Prefixes that a bench never meets are left out on purpose: `mHz` is a slip for `MHz`, and is refused.
    """

    symbol: str
    ascii: tuple[str, ...]
    prefixes: tuple[str, ...]
    letters: str


class Spelling(NamedTuple):
    """What one accepted way of writing a unit means: usual form `kΩ`, base unit `Ω`, power of ten 3.

    `scale` is the temperature scale where that is another than the base unit's (`K`, `°F`), else empty.
    """

    usual: str
    unit: str
    exponent: int
    scale: str = ""


KINDS: Mapping[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind("resistance", "Ω"),
        Kind("voltage", "V"),
        Kind("diode", "V"),
        Kind("current", "A"),
        Kind("capacitance", "F"),
        Kind("inductance", "H"),
        Kind("frequency", "Hz"),
        Kind("temperature", "°C"),
        Kind("power", "W"),
        Kind("ripple", "V"),
        Kind("fan speed", "rpm"),
        Kind("frame rate", "fps"),
    )
}
"""Every kind of reading by name. `diode` is the drop in diode mode; `ripple` is peak to peak; the last two come from
the logs of loaded runs."""

NEVER_NEGATIVE = frozenset(
    (
        "resistance",
        "capacitance",
        "inductance",
        "frequency",
        "power",
        "ripple",
        "fan speed",
        "frame rate",
    )
)
"""Kinds of reading that cannot be below 0, but for the error of the meter."""

UNITS: Mapping[str, Unit] = {
    unit.symbol: unit
    for unit in (
        Unit("Ω", ("ohm",), ("", "µ", "m", "k", "M", "G"), "RKkMGL"),
        Unit("V", (), ("", "µ", "m", "k"), ""),
        Unit("A", (), ("", "n", "µ", "m"), ""),
        Unit("F", (), ("", "p", "n", "µ", "m"), "Fpnµ\u03bcum"),
        Unit("H", (), ("", "p", "n", "µ", "m"), "pnµ\u03bcum"),
        Unit("Hz", (), ("", "k", "M", "G"), ""),
        Unit("°C", ("degC",), ("",), ""),
        Unit("W", (), ("", "µ", "m", "k"), ""),
        Unit("rpm", (), ("",), ""),
        Unit("fps", (), ("",), ""),
    )
}
"""Every base unit by its symbol. Prefixes: SI Brochure, 9th edition, table 7. Code letters: IEC 60062 for
resistance and capacitance; small `k` and `u`, and codes on coils, are common practice, no source. Coils go without
`R`, which on them marks the point of a value in µH."""

PREFIXES: Mapping[str, int] = {"p": -12, "n": -9, "µ": -6, "m": -3, "": 0, "k": 3, "M": 6, "G": 9}
"""Powers of ten of the SI prefixes in use here."""

LETTER_PREFIXES: Mapping[str, str] = {
    **{letter: letter for letter in "kMGpnµm"},
    **dict.fromkeys("RF", ""),
    **dict.fromkeys("u\u03bc", "µ"),
    "K": "k",
    "L": "m",
}
"""The prefix that a code letter means (IEC 60062, clause on letter and digit codes)."""

_SAME_LETTER = {"µ": ("µ", "\u03bc", "u"), "Ω": ("Ω", "\u2126")}


def _spelled(unit: Unit, prefix: str) -> Iterator[str]:
    """Give every way to write a prefixed unit, the usual one first."""
    for name in (*_SAME_LETTER.get(unit.symbol, (unit.symbol,)), *unit.ascii):
        for written_prefix in _SAME_LETTER.get(prefix, (prefix,)):
            yield written_prefix + name


SPELLINGS: Mapping[str, Spelling] = {
    written: Spelling(prefix + unit.symbol, unit.symbol, PREFIXES[prefix])
    for unit in UNITS.values()
    for prefix in unit.prefixes
    for written in _spelled(unit, prefix)
} | {
    "K": Spelling("K", "°C", 0, "K"),
    "°F": Spelling("°F", "°C", 0, "°F"),
    "degF": Spelling("°F", "°C", 0, "°F"),
}
"""Every accepted way of writing a unit, and what it means."""


def spellings(kind: str) -> tuple[str, ...]:
    """List every accepted way of writing a unit of a kind; raises KeyError for a kind that is not in `KINDS`.

    >>> spellings("temperature")
    ('°C', 'degC', 'K', '°F', 'degF')
    """
    base = KINDS[kind].unit
    return tuple(written for written, spelling in SPELLINGS.items() if spelling.unit == base)


def usual_units(kind: str) -> tuple[str, ...]:
    """List the units of a kind in their usual spelling, smallest first; raises KeyError for an unknown kind.

    >>> usual_units("frequency")
    ('Hz', 'kHz', 'MHz', 'GHz')
    """
    unit = UNITS[KINDS[kind].unit]
    return tuple(prefix + unit.symbol for prefix in sorted(unit.prefixes, key=PREFIXES.__getitem__))


def kinds_of(unit: str) -> tuple[str, ...]:
    """Name the kinds that are measured in a base unit, the plainest first; empty for a unit that is not in `UNITS`.

    >>> kinds_of("V")
    ('voltage', 'diode', 'ripple')
    """
    return tuple(kind.name for kind in KINDS.values() if kind.unit == unit)
