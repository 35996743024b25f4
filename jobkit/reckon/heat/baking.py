"""How long a moisture-sensitive package has to be baked before it is dry.

Source: IPC/JEDEC J-STD-033, table of bake conditions for surface-mount packages. The columns at 125 °C are from a copy
that does not name its revision; those at 90 °C and 40 °C (at no more than 5 % relative humidity), levels 2 and 5a, and
everything thicker than 2 mm are from memory of revisions B.1 and C. Where copies disagree the longer bake is taken:
level 2a up to 1.4 mm has 5 and 3 hours in one copy, 7 and 5 hours in another.
"""

from __future__ import annotations

from decimal import Decimal

from jobkit.named_tuple import NamedTuple

_DAY = 24


class _Hours(NamedTuple):
    """Hours where the floor life was over for longer than 72 hours or is not known, and where for less."""

    long_past: int
    just_past: int


_OVENS = (125, 90, 40)
"""The temperatures in °C of the columns, the hottest first."""

_THIN = {
    "2": (_Hours(5, 3), _Hours(17, 11), _Hours(8 * _DAY, 5 * _DAY)),
    "2a": (_Hours(7, 5), _Hours(23, 13), _Hours(9 * _DAY, 7 * _DAY)),
    "3": (_Hours(9, 7), _Hours(33, 23), _Hours(13 * _DAY, 9 * _DAY)),
    "4": (_Hours(11, 7), _Hours(37, 23), _Hours(15 * _DAY, 9 * _DAY)),
    "5": (_Hours(12, 7), _Hours(41, 24), _Hours(17 * _DAY, 10 * _DAY)),
    "5a": (_Hours(16, 10), _Hours(54, 24), _Hours(22 * _DAY, 10 * _DAY)),
}
_MIDDLE = {
    "2": (_Hours(18, 15), _Hours(63, 48), _Hours(25 * _DAY, 20 * _DAY)),
    "2a": (_Hours(21, 16), _Hours(72, 48), _Hours(29 * _DAY, 22 * _DAY)),
    "3": (_Hours(27, 17), _Hours(96, 48), _Hours(37 * _DAY, 23 * _DAY)),
    "4": (_Hours(34, 20), _Hours(120, 72), _Hours(47 * _DAY, 28 * _DAY)),
    "5": (_Hours(40, 25), _Hours(144, 96), _Hours(57 * _DAY, 35 * _DAY)),
    "5a": (_Hours(48, 40), _Hours(192, 144), _Hours(79 * _DAY, 56 * _DAY)),
}
_THICK = {
    "2": (_Hours(48, 48), _Hours(240, 168), _Hours(79 * _DAY, 67 * _DAY)),
    "2a": (_Hours(48, 48), _Hours(240, 168), _Hours(79 * _DAY, 67 * _DAY)),
    "3": (_Hours(48, 48), _Hours(240, 192), _Hours(79 * _DAY, 67 * _DAY)),
    "4": (_Hours(48, 48), _Hours(240, 240), _Hours(79 * _DAY, 67 * _DAY)),
    "5": (_Hours(48, 48), _Hours(240, 240), _Hours(79 * _DAY, 67 * _DAY)),
    "5a": (_Hours(48, 48), _Hours(240, 240), _Hours(79 * _DAY, 67 * _DAY)),
}

BAKED_BEFORE_USE = "6"
"""The level that is baked before each use, for as long as its label says; it counts as 5a here, the longest."""

_JUST_PAST = 72
"""Hours past the floor life up to which the shorter bake will do."""


def bake_hours(
    level: str, body_mm: Decimal | None, oven: Decimal, past_hours: float | None = None
) -> int | None:
    """Tell how many hours a package of a level has to be baked in an oven of so many °C.

    A package without a thickness counts as thicker than 2 mm. `past_hours` is how long its floor life has been over;
    None where that is not known, as with a part off another board. An oven between two columns counts as the cooler
    one. The answer is None for a level that needs no bake, and for an oven below 40 °C, in which nothing dries.

    >>> bake_hours("3", Decimal("1.1"), Decimal(125)), bake_hours("3", Decimal("1.1"), Decimal(100), 20)
    (9, 23)
    """
    column = next((place for place, least in enumerate(_OVENS) if oven >= least), None)
    row = _rows_for(body_mm).get("5a" if level == BAKED_BEFORE_USE else level)
    if column is None or row is None:
        return None
    is_just_past = past_hours is not None and past_hours <= _JUST_PAST and level != BAKED_BEFORE_USE
    return row[column].just_past if is_just_past else row[column].long_past


def needs_bake(level: str | None) -> bool:
    """Tell whether packages of a level take up moisture that has to be baked out: all but level 1."""
    return level == BAKED_BEFORE_USE or level in _THICK


def _rows_for(body_mm: Decimal | None) -> dict[str, tuple[_Hours, _Hours, _Hours]]:
    if body_mm is None or body_mm > 2:
        return _THICK
    return _THIN if body_mm <= Decimal("1.4") else _MIDDLE
