"""What good boards read, in one phrase."""

from __future__ import annotations

from jobkit.pages.language.language import ENGLISH, Language
from jobkit.pages.scale import ends, far_ends
from jobkit.reckon.readings.usual import Usual
from jobkit.units.phrase import Figure


def range_words(row: Usual, lang: Language = ENGLISH) -> str:
    """Say what is usual in one phrase: the tolerance interval, else the range seen."""
    if row.moments is None:
        return "OL"
    if row.interval and row.scale == "log":
        return lang.figure(far_ends(row.interval.low, row.interval.high, row.unit))
    if row.interval:
        return lang.figure(ends(row.interval.low, row.interval.high, row.unit, row.moments.sd))
    seen_range = Figure(ends(row.moments.lowest, row.moments.highest, row.unit, None))
    return lang.say("{range}, or OL" if row.open else "{range} seen", range=seen_range)


def strip_usual(row: Usual | None, lang: Language = ENGLISH) -> tuple[float, float, str] | None:
    """Return the interval in which nearly all good boards are and its words, where enough are known for one."""
    if row is None or row.interval is None:
        return None
    return float(row.interval.low), float(row.interval.high), range_words(row, lang)
