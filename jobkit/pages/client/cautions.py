"""The usual cautions for the person who fits a board; local rules and licensed practice come first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from jobkit.reckon.client.cautions import AGAIN, COOLER, FAN, LEAD, LITHIUM, MAINS, STATIC, UNPROVED

CAUTIONS = {
    UNPROVED: "This board is not repaired and not tested. Do not switch it on: a short on it can overload the supply, "
    "and parts can burst or burn.",
    STATIC: "A spark too small to feel can kill a board. Touch bare earthed metal before you handle it, and hold it by "
    "its edges.",
    MAINS: "Switch off, pull the mains plug and wait a few minutes before you fit the board: capacitors stay charged. "
    "Never open a power supply; there is mains inside.",
    FAN: "Keep fingers, hair and cables away from turning fans.",
    COOLER: "Do not run the board with its cooler loose or off, not even for a moment, and let it cool down before you "
    "touch it.",
    LEAD: "There is leaded solder on this board. Wash your hands after handling it, keep it away from children and "
    "food, and take it to electronic waste at the end of its life.",
    LITHIUM: "The board has a lithium cell. Do not short, crush, heat or charge it, and do not throw it into "
    "household waste.",
    AGAIN: "We could not make the board fail, so it may fail again. If it does, stop using it, note "
    "what you were doing, and write to us before you open it.",
}
"""Each caution by its name; those of the trade are common practice, no source."""

LOCAL_RULES = "Local rules and the advice of a licensed electrician come before this list."


def caution_lines(names: Iterable[str]) -> Iterator[str]:
    """Say the cautions named."""
    yield from (CAUTIONS[name] for name in names)
