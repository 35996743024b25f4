"""The meters: how far each can be trusted, and until when."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from jobkit.jobs.duration import Duration
from jobkit.jobs.finding import Place
from jobkit.units.accuracy import Accuracy
from jobkit.units.quantity import Quantity


class Range(NamedTuple):
    """One range of a meter: what it measures, up to where, how well.

    `lead` is the resistance of the leads that is still in the readings; it is known even where the accuracy is not.
    """

    path: Place
    kind: str | None = None
    upto: Quantity | None = None
    accuracy: Accuracy | None = None
    four_wire: bool = False
    lead: Quantity | None = None


class Meter(NamedTuple):
    """A meter of the bench."""

    path: Place
    name: str
    calibrated: date | None = None
    every: Duration | None = None
    ranges: tuple[Range, ...] = ()
