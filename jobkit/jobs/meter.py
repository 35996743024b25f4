"""The meters: how far each can be trusted, and until when."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from functools import cached_property

from jobkit.jobs.duration import Duration, DurationError, add
from jobkit.jobs.finding import Place
from jobkit.named_tuple import NamedTuple
from jobkit.units.accuracy import Accuracy
from jobkit.units.quantity import Quantity


class _RangeTable(NamedTuple):
    """What meters.toml says of a range; `Range` adds what is asked of it."""

    path: Place
    kind: str | None = None
    upto: Quantity | None = None
    accuracy: Accuracy | None = None
    four_wire: bool = False
    lead: Quantity | None = None


class Range(_RangeTable):
    """One range of a meter: what it measures, up to where, how well.

    `lead` is the resistance of the leads that is still in the readings; it is known even where the accuracy is not.
    """

    @cached_property
    def reach(self) -> Decimal:
        """Give the largest size of a value it holds, in the base unit: without end where none is stated."""
        return self.upto.value if self.upto else Decimal("Infinity")

    @cached_property
    def lead_in_reading(self) -> Quantity | None:
        """Give the lead resistance to be taken off a reading: with four wires there is none in it."""
        return None if self.four_wire else self.lead

    @cached_property
    def errors(self) -> tuple[float, float] | None:
        """Give the sum of all limits of error, one step of the display, the certificate and the lead among them.

        As a share of the size of the reading, and the rest in the base unit; None where the accuracy is not stated.
        """
        if self.accuracy is None:
            return None
        accuracy, lead = self.accuracy, self.lead_in_reading
        share, fixed = float(accuracy.share), 2 * float(accuracy.fixed) + float(accuracy.step.value)
        certified = float(accuracy.certificate.standard) if accuracy.certificate else 0.0
        return share, share * (abs(float(lead.value)) if lead else 0.0) + fixed + certified


class _MeterTable(NamedTuple):
    """What meters.toml says of a meter; `Meter` adds what is asked of it."""

    path: Place
    name: str
    calibrated: date | None = None
    every: Duration | None = None
    ranges: tuple[Range, ...] = ()
    what: str | None = None
    serial: str | None = None


class Meter(_MeterTable):
    """A meter of the bench."""

    # Every reading asks, and no meter changes, so each answer is worked out once and kept with the meter.

    @cached_property
    def calibrated_until(self) -> date | None:
        """Give the last day on which the calibration holds; None where no interval or no day is stated.

        That day is included, as with every other stretch of days here. One that runs past the calendar never ends.
        """
        if self.calibrated is None or self.every is None:
            return None
        try:
            return add(self.calibrated, self.every)
        except DurationError:
            return None

    @cached_property
    def _serving(self) -> Mapping[tuple[str | None, bool], tuple[Range, ...]]:
        known = sorted((each for each in self.ranges if each.upto), key=lambda each: each.reach)
        return {
            serves: tuple(each for each in known if (each.kind, each.four_wire) == serves)
            for serves in {(each.kind, each.four_wire) for each in known}
        }

    def serving(self, kind: str, *, four_wire: bool) -> tuple[Range, ...]:
        """Give the ranges with a known end that serve for a kind of reading, the finest first."""
        return self._serving.get((kind, four_wire), ())
