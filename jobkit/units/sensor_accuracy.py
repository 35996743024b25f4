"""How far a board's own sensor can be trusted, as its data sheet or the bench's comparison states it."""

import re
from decimal import Decimal

from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError
from jobkit.units.exact import EXACT
from jobkit.units.quantity import QuantityError, parse_span
from jobkit.units.slip import quoted

_PERCENT = re.compile(r"([0-9]+(?:\.[0-9]+)?) ?%")


class SensorAccuracy(NamedTuple):
    """A limit of error: a share of the value in percent, or a span in the base unit ("" for a share)."""

    percent: Decimal = Decimal(0)
    span: Decimal = Decimal(0)
    unit: str = ""
    text: str = ""

    def limit_of_error(self, value: Decimal) -> Decimal:
        """Give the limit of error ± a of a value, exactly.

        >>> parse_sensor_accuracy("2 %").limit_of_error(Decimal(230))
        Decimal('4.60')
        """
        return EXACT.add(EXACT.multiply(value.copy_abs(), EXACT.scaleb(self.percent, -2)), self.span)


def parse_sensor_accuracy(text: str) -> SensorAccuracy:
    """Read an accuracy such as "2 °C" or "3 %"; raises MisuseError.

    >>> parse_sensor_accuracy("1.5 °C").span, parse_sensor_accuracy("18 °F").span
    (Decimal('1.5'), Decimal('10'))
    """
    share = _PERCENT.fullmatch(text)
    if share:
        return SensorAccuracy(percent=Decimal(share[1]), text=text)
    try:
        span = parse_span(text)
    except QuantityError as error:
        raise MisuseError(f"{quoted(text)} is not an accuracy", 'write it like "2 °C" or "3 %"') from error
    if span.value < 0:
        raise MisuseError(f"an accuracy has no sign: {quoted(text)}", "write it without the minus")
    return SensorAccuracy(span=span.value, unit=span.unit, text=text)
