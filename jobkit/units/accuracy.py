"""How far a reading can be trusted: from the accuracy on a meter's data sheet to an expanded uncertainty.

The steps, with their source:

1. The data sheet's ± (percent and ppm of reading + percent of range + counts of the last digit) is the limit of error a
   of one reading. Its terms are added, as in the worked example of JCGM 100:2008, 4.3.7 with 5.1.5.
2. The limit is the half-width of a rectangular distribution: u = a / √3 (JCGM 100:2008, 4.3.7).
3. Independent parts are combined by root sum of squares (JCGM 100:2008, 5.1.2). The parts of a reading are

   - its limit of error;
   - half a step of the display, where the part of the limit that does not grow with the reading is less than one count,
     which would not even cover the rounding of the last digit (JCGM 100:2008, F.2.2.1);
   - the uncertainty that a calibration certificate states, U with its k: u = U / k (JCGM 100:2008, 4.3.3);
   - the limit of error of the lead resistance, where that is taken off: it was read on the same range, and a
     correction has an uncertainty of its own (JCGM 100:2008, 3.2.3). Both readings come from one meter, so
     their errors partly cancel; how far is unknown, and to take them as independent never states U too small.

4. Expanded uncertainty U = k·u (JCGM 100:2008, 6.2.1).

So 0.52 Ω read through leads of 0.12 Ω on a coarse range, ± (0.8 % + 2 counts of 0.1 Ω), is 0.4 Ω ± 0.33 Ω; on
a finer one, ± (0.5 % + 8 counts of 0.01 Ω), it is 0.4 Ω ± 0.13 Ω.
"""

from collections.abc import Iterable
from decimal import Decimal

from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError
from jobkit.units.exact import EXACT, ROOT
from jobkit.units.quantity import Quantity, plain, show


class AccuracyError(MisuseError):
    """A meter's accuracy cannot be applied to this reading."""


class Certificate(NamedTuple):
    """What a calibration certificate states of a range: an expanded uncertainty and its coverage factor k."""

    uncertainty: Quantity
    k: Decimal

    @property
    def standard(self) -> Decimal:
        """The standard uncertainty, in the base unit."""
        return from_expanded(self.uncertainty.value, self.k)


class Accuracy(NamedTuple):
    """A meter's accuracy on one range.

    ± (`percent` + `ppm` of reading, `percent_of_range` of the range's upper end `upto`, `counts` of `step`), and what
    its certificate states. `step` is the last digit's worth, in the unit of the readings. `lead` is the lead resistance
    that is still in the readings; None where it is nulled or does not matter.
    """

    percent: Decimal
    counts: Decimal
    step: Quantity
    lead: Quantity | None = None
    ppm: Decimal = Decimal(0)
    percent_of_range: Decimal = Decimal(0)
    upto: Quantity | None = None
    certificate: Certificate | None = None

    @property
    def share(self) -> Decimal:
        """The limit of error that grows with the reading, as a share of it."""
        return EXACT.add(EXACT.scaleb(self.percent, -2), EXACT.scaleb(self.ppm, -6))

    @property
    def fixed(self) -> Decimal:
        """The limit of error that is the same all over the range, in the base unit."""
        counted = EXACT.multiply(self.counts, self.step.value)
        if self.upto is None:
            return counted
        return EXACT.add(EXACT.multiply(EXACT.scaleb(self.percent_of_range, -2), self.upto.value), counted)

    def limit_of_error(self, reading: Quantity) -> Quantity:
        """Give the limit of error ± a of a reading as shown by the meter, exactly; raises AccuracyError.

        >>> coarse = Accuracy(Decimal("0.8"), Decimal(2), plain(Decimal("0.1"), "Ω"))
        >>> coarse.limit_of_error(plain(Decimal("100.0"), "Ω")).text
        '1 Ω'
        """
        self._fits(reading)
        of_reading = EXACT.multiply(reading.value.copy_abs(), self.share)
        return plain(EXACT.add(of_reading, self.fixed), reading.unit)

    def standard_uncertainty(self, reading: Quantity) -> Quantity:
        """Give the standard uncertainty u of a reading with its leads taken off; raises AccuracyError."""
        parts = [rectangular(self.limit_of_error(reading).value)]
        if self.fixed < self.step.value:
            parts.append(rectangular(ROOT.divide(self.step.value, Decimal(2))))
        if self.certificate is not None:
            parts.append(self.certificate.standard)
        if self.lead is not None:
            parts.append(rectangular(self.limit_of_error(self.lead).value))
        return _uncertain(root_sum_of_squares(parts), reading.unit)

    def expanded_uncertainty(self, reading: Quantity, k: Decimal = Decimal(2)) -> Quantity:
        """Give the expanded uncertainty U = k·u of a reading; raises AccuracyError.

        Its text has two significant digits (JCGM 100:2008, 7.2.6), its value all 28.

        >>> fine = Accuracy(Decimal("0.5"), Decimal(8), plain(Decimal("0.01"), "Ω"))
        >>> fine.expanded_uncertainty(plain(Decimal("0.4"), "Ω")).text
        '95 mΩ'
        """
        return _uncertain(ROOT.multiply(k, self.standard_uncertainty(reading).value), reading.unit)

    def _fits(self, reading: Quantity) -> None:
        if reading.open:
            raise AccuracyError(
                "an open reading has no uncertainty", "state an accuracy only for readings with a number"
            )
        if self.lead is not None and self.lead.unit != self.step.unit:
            raise AccuracyError(
                f"leads of {self.lead.text} do not fit steps of {self.step.text}", "give both in one unit"
            )
        if reading.unit != self.step.unit:
            what = f"a meter range with steps of {self.step.text} cannot show {reading.text}"
            raise AccuracyError(what, f"name a range that reads in {reading.unit}")


def rectangular(half_width: Decimal) -> Decimal:
    """Give the standard uncertainty of a rectangular part of half-width a: a / √3 (JCGM 100:2008, 4.3.7)."""
    return ROOT.divide(half_width, ROOT.sqrt(Decimal(3)))


def from_expanded(expanded: Decimal, k: Decimal) -> Decimal:
    """Give the standard uncertainty behind a stated U = k·u (JCGM 100:2008, 4.3.3)."""
    return ROOT.divide(expanded, k)


def root_sum_of_squares(parts: Iterable[Decimal]) -> Decimal:
    """Combine independent standard uncertainties (JCGM 100:2008, 5.1.2), to 28 digits."""
    total = Decimal(0)
    for part in parts:
        total = EXACT.add(total, EXACT.multiply(part, part))
    return ROOT.sqrt(total)


def _uncertain(value: Decimal, unit: str) -> Quantity:
    return Quantity(value, unit, show(value, unit, 2))
