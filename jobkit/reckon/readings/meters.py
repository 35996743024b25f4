"""Readings seen through their meters: which range took them, how far they can be trusted, and until when.

What is not known is said and never guessed: a reading without a meter, by a meter that meters.toml does not have,
or on a range without an accuracy has no uncertainty, and `uncertainty_missing` says why. Leads are taken off
wherever the range states them; on a four-wire range they are not in the reading to begin with.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal

from jobkit.jobs.entries import Reading
from jobkit.jobs.facts import ProofRow
from jobkit.jobs.meter import Meter, Range
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError
from jobkit.units.exact import EXACT
from jobkit.units.kinds import kinds_of
from jobkit.units.quantity import Quantity, parse_quantity, plain


class Method(NamedTuple):
    """How a value was taken: its kind, by which meter, on which range (None = the meter chose), with how many wires."""

    kind: str
    meter: str | None = None
    range: str | None = None
    four_wire: bool = False


class CorrectedReading(NamedTuple):
    """A value corrected for its meter.

    `shown` is what the display showed, `value` that with the `lead` taken off, `uncertainty` the expanded U = k·u, None
    where it is not known; `uncertainty_missing` says why it is not. `range_error` is true where this meter cannot have
    shown the value in the way the reading says; `mend` then says what to do. Of `n` readings of one point `shown` is
    the mean, and `k` the factor that allows for how few they are.
    """

    shown: Quantity
    value: Quantity
    uncertainty: Quantity | None = None
    lead: Quantity | None = None
    range: Range | None = None
    meter: str = ""
    uncertainty_missing: str = ""
    range_error: bool = False
    mend: str = ""
    k: Decimal = Decimal(2)
    n: int = 1


def method_of(reading: Reading) -> Method:
    """Tell how a reading was taken."""
    return Method(
        reading.kind or "", reading.meter, reading.range.text if reading.range else None, reading.four_wire
    )


def method_of_proof(proved: ProofRow) -> Method:
    """Tell how a proof reading was taken, from the facts of its job."""
    return Method(proved.kind, proved.meter or None, proved.range or None, proved.four_wire)


def correct_reading(
    shown: Quantity,
    method: Method,
    meters: Mapping[str, Meter],
    k: Decimal = Decimal(2),
    values: Sequence[Quantity] = (),
) -> CorrectedReading:
    """Correct a shown value for its meter: leads off, U = k·u on; of several `values`, `shown` is the mean."""
    corrected = correct_lead(shown, method, meters)._replace(k=k, n=len(values) or 1)
    if corrected.uncertainty_missing or corrected.range is None or corrected.range.accuracy is None:
        return corrected
    accuracy = corrected.range.accuracy._replace(lead=corrected.lead)
    if not values:
        return corrected._replace(uncertainty=accuracy.expanded_uncertainty(shown, k))
    # Student's factor is needed by few readings, and its module would take time in every hook.
    from jobkit.reckon.readings.repeated import expanded_uncertainty  # noqa: PLC0415

    of_meter = accuracy.standard_uncertainty(shown).value
    expanded = expanded_uncertainty(values, of_meter, k)
    return corrected._replace(uncertainty=expanded.uncertainty, k=expanded.k)


def correct_lead(shown: Quantity, method: Method, meters: Mapping[str, Meter]) -> CorrectedReading:
    """Correct a shown value as far as that costs no roots: leads off, and on which range."""
    if not method.meter:
        return CorrectedReading(shown, shown, uncertainty_missing="no meter is named")
    plainly = CorrectedReading(shown, shown, meter=method.meter)
    meter = meters.get(method.meter)
    if meter is None:
        return plainly._replace(uncertainty_missing=f"{method.meter} is not in meters.toml")
    if not meter.ranges:
        return plainly._replace(uncertainty_missing=f"no ranges of {meter.name} are stated")
    try:
        found = range_of(meter, method, shown)
    except RangeError as error:
        return plainly._replace(uncertainty_missing=error.message, range_error=True, mend=error.mend)
    lead = None if shown.open else found.lead_in_reading
    value = plain(without_lead(shown, found), shown.unit) if lead else shown
    return CorrectedReading(
        shown, value, None, lead, found, meter.name, _uncertainty_missing(found, shown, meter.name)
    )


def value_words(corrected: CorrectedReading) -> str:
    """Write the value that a limit or other boards are compared with; where leads were subtracted, say what was shown.

    "0.38 Ω (shown 0.50 Ω, minus 0.12 Ω lead resistance)".
    """
    if corrected.lead is None:
        return corrected.value.text
    return (
        f"{corrected.value.text} (shown {corrected.shown.text}, minus {corrected.lead.text} lead resistance)"
    )


def range_used(shown: Quantity, method: Method, meters: Mapping[str, Meter]) -> Range | None:
    """Find the range a value was read on; None where the meter or its ranges are not known; raises RangeError."""
    meter = meters.get(method.meter or "")
    return range_of(meter, method, shown) if meter and meter.ranges else None


def without_lead(shown: Quantity, found: Range | None) -> Decimal:
    """Give a value with the lead taken off that is in readings on this range, exactly; one that is open stays so."""
    lead = found.lead_in_reading if found else None
    return EXACT.subtract(shown.value, lead.value) if lead else shown.value


def uncertainty_bound(shown: Quantity, found: Range, k: Decimal) -> float | None:
    """Give a figure that U of a value on a range is certainly below, at the cost of no roots; None for an unknown U.

    k times the sum of all limits of error: the root of a sum of squares is no more than the sum, and a standard
    uncertainty is less than the limit of error it comes from.
    """
    if found.errors is None or shown.open:
        return None
    share, rest = found.errors
    return float(k) * (share * abs(float(shown.value)) + rest)


class RangeError(MisuseError):
    """A meter has no range that can have shown a value taken in this way."""


def range_of(meter: Meter, method: Method, shown: Quantity) -> Range:
    """Find the range a value was read on: the one named, else the finest that holds it; raises RangeError.

    An open reading is one that the meter's widest range does not hold.
    """
    ranges = meter.serving(method.kind, four_wire=method.four_wire)
    if not ranges:
        raise _no_range(meter, method)
    size = shown.value.copy_abs()
    found = _named(ranges, method, meter) if method.range else _finest(ranges, size)
    if size > found.reach and not shown.open:
        raise RangeError(
            f"{meter.name} cannot show {shown.text}: its {method.kind} range ends at {_end(found).text}",
            "correct the value or the meter, or add the range to meters.toml",
        )
    return found


def kind_on(meter: Meter, shown: Quantity) -> str:
    """Tell what kind of reading a value is by its unit: the plainest that the meter has a range for, if it has one.

    A volt may be a voltage, a drop in diode mode or a ripple.
    """
    kinds = kinds_of(shown.unit)
    ranged = {each.kind for each in meter.ranges}
    return next((kind for kind in kinds if kind in ranged), kinds[0])


def same_display(readings: Iterable[CorrectedReading]) -> bool:
    """Tell whether values come from one range of one known meter, so that its systematic errors are common to all."""
    places = {(corrected.meter, corrected.range.path if corrected.range else None) for corrected in readings}
    return len(places) == 1 and all(where is not None for _, where in places)


def overdue(meter: Meter, day: date) -> bool:
    """Tell whether the calibration had run out on a day.

    Of days before the last calibration nothing is known: meters.toml does not hold the one before.
    """
    until = meter.calibrated_until
    return until is not None and day > until


def _uncertainty_missing(found: Range, shown: Quantity, meter: str) -> str:
    if shown.open:
        return "an open reading has no uncertainty"
    return "" if found.accuracy else f"no accuracy is stated for {meter} up to {_end(found).text}"


def _no_range(meter: Meter, method: Method) -> RangeError:
    if not meter.serving(method.kind, four_wire=not method.four_wire):
        return RangeError(
            f"{meter.name} has no range of {method.kind}",
            "correct the meter, or add the range to meters.toml",
        )
    if method.four_wire:
        return RangeError(
            f"{meter.name} has no four-wire range of {method.kind}",
            "leave out four_wire, or correct the meter",
        )
    return RangeError(
        f"{meter.name} reads {method.kind} with four wires only",
        "write four_wire = true, or correct the meter",
    )


def _finest(ranges: tuple[Range, ...], size: Decimal) -> Range:
    """Choose the finest range that holds a value of this size, else the widest of all."""
    for each in ranges:
        if size <= each.reach:
            return each
    return ranges[-1]


def _named(ranges: tuple[Range, ...], method: Method, meter: Meter) -> Range:
    try:
        end = parse_quantity(method.range or "", method.kind)
    except MisuseError as misuse:
        raise RangeError(misuse.message, misuse.mend) from misuse
    found = next((each for each in ranges if each.reach == end.value), None)
    if found is None:
        raise RangeError(
            f"{meter.name} has no {method.kind} range up to {method.range}",
            f"name one of {', '.join(_ends(ranges))}",
        )
    return found


def _ends(ranges: tuple[Range, ...]) -> Iterator[str]:
    return (_end(each).text for each in ranges)


def _end(found: Range) -> Quantity:
    assert found.upto is not None
    return found.upto
