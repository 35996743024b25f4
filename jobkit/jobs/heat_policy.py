"""What the bench has settled about heat: limits for packages, windows for solders, whether it asks for logs."""

from __future__ import annotations

from decimal import Decimal

from jobkit.named_tuple import NamedTuple
from jobkit.units.limit import Limit
from jobkit.units.quantity import Quantity


class PackageLimits(NamedTuple):
    """The bench's own limits at the top of a package, each None where that of J-STD-020 counts.

    `below` is how far in °C the peak has to stay below the classification temperature; ramps are in °C a second.
    """

    below: Quantity | None = None
    ramp_up: Decimal | None = None
    ramp_down: Decimal | None = None
    near_peak_seconds: Decimal | None = None
    above_liquidus_seconds: Decimal | None = None
    preheat_seconds: Decimal | None = None
    to_peak_minutes: Decimal | None = None


class SolderWindow(NamedTuple):
    """The bench's own window for a solder at its joints, each None where the usual one counts."""

    name: str
    solidus: Quantity | None = None
    liquidus: Quantity | None = None
    peak: Limit | None = None
    least_seconds: Decimal | None = None
    most_seconds: Decimal | None = None


class HeatPolicy(NamedTuple):
    """The bench's own limits; `log` asks for a log of every soldering, `accuracy` is that of the thermocouples."""

    log: bool = False
    accuracy: Quantity | None = None
    package: PackageLimits = PackageLimits()
    solders: tuple[SolderWindow, ...] = ()
