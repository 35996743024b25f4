"""What the top of a package may see: its classification temperature, and the maxima of the classification profile.

Source: J-STD-020, revisions C, D and E, tables of classification temperatures and of the classification profile, from
copies. The standard says of its profile that it is for classification and no profile for assembly, so only its maxima
bind a package in rework; its minima belong to the solder. Where revisions or copies differ the safer value is taken.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from jobkit.jobs.heat_policy import PackageLimits
from jobkit.named_tuple import NamedTuple
from jobkit.units.exact import EXACT
from jobkit.units.limit import Limit
from jobkit.units.quantity import Quantity, plain


class Body(NamedTuple):
    """What is known of the body of a package: its own rating, thickness in mm and volume in mm³."""

    classified: Quantity | None = None
    thick: Decimal | None = None
    volume: Decimal | None = None


class Maximum(NamedTuple):
    """One maximum and from where it is: the bench's own, or a standard with its revision."""

    limit: Limit
    source: str


class Profile(NamedTuple):
    """The maxima of a package: ramps in °C/s, times in s, `liquidus` in °C, between which temperatures preheat is."""

    liquidus: Decimal
    preheat_between: tuple[Decimal, Decimal]
    ramp_up: Maximum
    ramp_down: Maximum
    near_peak: Maximum
    above_liquidus: Maximum
    preheat: Maximum
    to_peak: Maximum


NEAR_PEAK = Decimal(5)
"""Near the peak is within 5 °C of the classification temperature: J-STD-020 D and E; C counts from the actual peak."""

_D_E = "J-STD-020 D/E"
_PREHEAT = f"{_D_E}; C has 180 s for lead-free, the safer value is taken"
_NEAR = f"{_D_E}; C counts from the actual peak"
_RAMP = "J-STD-020 C to E; anywhere in the log, which is stricter than from liquidus to the peak"

_THICK, _MIDDLE = Decimal("2.5"), Decimal("1.6")
_SMALL, _LARGE = Decimal(350), Decimal(2000)
_LEAD_FREE_TC = {"thin": (260, 260, 260), "middle": (260, 250, 245), "thick": (250, 245, 245)}
_TIN_LEAD_TC = {"thin": (235, 220, 220), "middle": (235, 220, 220), "thick": (220, 220, 220)}


def classification(bodies: Iterable[Body], *, leaded: bool) -> Maximum | None:
    """Give the highest peak allowed at the top of a package, the lowest of all that is known; None where nothing is.

    A volume that is not known counts as a large one.

    >>> classification([Body(thick=Decimal("1.9"), volume=Decimal(1700))], leaded=False).limit.text
    '<= 250 °C'
    """
    found = [one for body in bodies if (one := _classified(body, leaded=leaded))]
    if not found:
        return None
    value, source = min(found, key=lambda one: one[0])
    return _at_most(value, "°C", source)


def lowered(most: Maximum, own: PackageLimits) -> Maximum:
    """Lower a peak by as much as the bench wants it to stay below."""
    high = most.limit.high
    if own.below is None or high is None:
        return most
    return _at_most(
        EXACT.subtract(high.value, own.below.value),
        "°C",
        f"{most.source}, less {own.below.text} of bench.toml",
    )


def profile(own: PackageLimits, *, leaded: bool) -> Profile:
    """Give the maxima of a process, with the bench's own in their place."""
    usual = (183, (100, 150), 20, 360) if leaded else (217, (150, 200), 30, 480)
    liquidus, (low, high), near, to_peak = usual
    seconds = None if own.to_peak_minutes is None else EXACT.multiply(own.to_peak_minutes, Decimal(60))
    return Profile(
        Decimal(liquidus),
        (Decimal(low), Decimal(high)),
        _own_or(own.ramp_up, 3, "°C/s", _RAMP),
        _own_or(own.ramp_down, 6, "°C/s", _RAMP),
        _own_or(own.near_peak_seconds, near, "s", _NEAR),
        _own_or(own.above_liquidus_seconds, 150, "s", "J-STD-020 C to E"),
        _own_or(own.preheat_seconds, 120, "s", _PREHEAT),
        _own_or(seconds, to_peak, "s", "J-STD-020 C to E"),
    )


def _classified(body: Body, *, leaded: bool) -> tuple[Decimal, str] | None:
    if body.classified is not None:
        return body.classified.value, "its own rating"
    if body.thick is None:
        return None
    # Copies differ on "> 2.5 mm" and ">= 2.5 mm": 2.5 mm counts as thick, which is safer.
    thick = "thick" if body.thick >= _THICK else "middle" if body.thick >= _MIDDLE else "thin"
    table = _TIN_LEAD_TC if leaded else _LEAD_FREE_TC
    process = "tin-lead" if leaded else "lead-free"
    volume = "" if body.volume is not None else ", volume not known, taken as large"
    return Decimal(table[thick][_size(body.volume)]), f"J-STD-020 C to E, {process}, by its body{volume}"


def _size(volume: Decimal | None) -> int:
    if volume is None or volume > _LARGE:
        return 2
    return int(volume >= _SMALL)


def _own_or(own: Decimal | None, usual: int, unit: str, source: str) -> Maximum:
    return _at_most(Decimal(usual), unit, source) if own is None else _at_most(own, unit, "bench.toml")


def _at_most(value: Decimal, unit: str, source: str) -> Maximum:
    text = f"<= {plain(value, unit).text}"
    return Maximum(Limit(None, plain(value, unit), open=False, text=text, unit=unit), source)
