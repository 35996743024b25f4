"""How long a moisture-sensitive package may lie outside its bag before it has to be dried."""

from __future__ import annotations

from datetime import date

from jobkit.jobs.duration import Duration

FLOOR_LIFE_HOURS = {"2": 8760, "2a": 672, "3": 168, "4": 72, "5": 48, "5a": 24}
"""Hours out of the bag at no more than 30 °C and 60 % relative humidity, by level.

Source: J-STD-020 (revisions C to E agree), table of moisture sensitivity levels, from a copy. Level 1 has no limit, and
level 6 is baked before each use, so neither has an hour here.
"""


def floor_life(level: str) -> Duration | None:
    """Give the floor life of a level in whole days, None for the levels without one.

    The hour at which a bag was opened is not in the book: opened in the morning, its life ends in the morning.

    >>> floor_life("3"), floor_life("1")
    (Duration(months=0, days=7), None)
    """
    hours = FLOOR_LIFE_HOURS.get(level)
    return None if hours is None else Duration(days=hours // 24)


def counted_from(opened: date | None, baked: date | None, on: date) -> date | None:
    """Tell from which day the floor life of a bag counts, as of `on`: its last bake, or else the day it was opened.

    >>> counted_from(date(2026, 10, 5), date(2026, 10, 20), date(2026, 10, 21))
    datetime.date(2026, 10, 20)
    >>> counted_from(date(2026, 10, 5), date(2026, 10, 20), date(2026, 10, 19))
    datetime.date(2026, 10, 5)
    """
    return baked if opened and baked and opened <= baked <= on else opened
