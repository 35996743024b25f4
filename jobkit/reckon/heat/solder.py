"""Solders: where they melt, and the window in which they make a joint."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal

from jobkit.jobs.heat_policy import SolderWindow
from jobkit.named_tuple import NamedTuple
from jobkit.units.exact import EXACT
from jobkit.units.limit import Limit
from jobkit.units.quantity import plain

_OVER_LIQUIDUS = Decimal(10)
_LEAST_SECONDS, _MOST_SECONDS = Decimal(30), Decimal(120)
USUAL_WINDOW = "common practice, no source"
"""The joint at least 10 °C above liquidus, and 30 to 120 s above liquidus."""

_MELTS: Mapping[str, tuple[int, int]] = {
    "sac305": (217, 220),
    "sn96.5ag3cu0.5": (217, 220),
    "sn63pb37": (183, 183),
    "sn60pb40": (183, 191),
    "sn42bi58": (138, 138),
}
"""Solidus and liquidus in °C, from a copy of a table of alloys."""

LEAD_FREE_MELTS, TIN_LEAD_MELTS = Decimal(217), Decimal(183)
"""From where J-STD-020 counts the time above liquidus, in °C: lead-free and tin-lead (revisions C to E)."""

_LEAD = re.compile(r"pb(?![a-z])")


class Solder(NamedTuple):
    """A solder: solidus and liquidus in °C, the limit of the peak at its joints, and of the seconds above liquidus."""

    name: str
    solidus: Decimal
    liquidus: Decimal
    peak: Limit
    seconds: Limit
    source: str

    @property
    def has_lead(self) -> bool:
        """Tell whether there is lead in it."""
        return has_lead(self.name)


def has_lead(name: str) -> bool:
    """Tell by its name whether there is lead in a solder.

    >>> has_lead("Sn63Pb37"), has_lead("SAC305"), has_lead("SnPb")
    (True, False, True)
    """
    return _LEAD.search(name.casefold()) is not None


def solder_named(name: str, own: Sequence[SolderWindow] = ()) -> Solder | None:
    """Describe a solder by its name, with the bench's own window first; None where it is not known where it melts.

    >>> found = solder_named("sac 305")
    >>> found.liquidus, found.peak.text, found.seconds.text
    (Decimal('220'), '>= 230 °C', '30 .. 120 s')
    """
    window = next((one for one in own if _plain(one.name) == _plain(name)), SolderWindow(name))
    solidus, liquidus = _melting(window)
    if liquidus is None:
        return None
    lowest = EXACT.add(liquidus, _OVER_LIQUIDUS)
    peak = window.peak or Limit(plain(lowest, "°C"), None, open=False, text=f">= {lowest} °C", unit="°C")
    seconds = _seconds(window)
    usual = window.peak is None and window.least_seconds is None and window.most_seconds is None
    return Solder(name, solidus or liquidus, liquidus, peak, seconds, USUAL_WINDOW if usual else "bench.toml")


def _melting(window: SolderWindow) -> tuple[Decimal | None, Decimal | None]:
    known = _MELTS.get(_plain(window.name))
    solidus, liquidus = map(Decimal, known) if known else (None, None)
    return (
        window.solidus.value if window.solidus else solidus,
        window.liquidus.value if window.liquidus else liquidus,
    )


def _seconds(window: SolderWindow) -> Limit:
    least = _LEAST_SECONDS if window.least_seconds is None else window.least_seconds
    most = _MOST_SECONDS if window.most_seconds is None else window.most_seconds
    return Limit(plain(least, "s"), plain(most, "s"), open=False, text=f"{least} .. {most} s", unit="s")


def _plain(name: str) -> str:
    return re.sub(r"[\s\-/_]+", "", name).casefold()
