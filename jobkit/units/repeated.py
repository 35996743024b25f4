"""Several readings of one point, taken one after another: their mean."""

from collections.abc import Sequence
from decimal import ROUND_HALF_EVEN, Decimal
from functools import reduce

from jobkit.units.exact import EXACT, ROOT
from jobkit.units.quantity import Quantity, plain


def mean_of(values: Sequence[Quantity]) -> Quantity:
    """Give the mean of readings in one unit, to one place more than the finest of them (JCGM 100:2008, 4.2.1).

    A reading that is open has no mean with others: the answer is open then.

    >>> from jobkit.units.quantity import parse_quantity
    >>> mean_of([parse_quantity(text) for text in ("0.50 Ω", "0.52 Ω", "0.51 Ω", "0.50 Ω")]).text
    '0.508 Ω'
    """
    opened = next((value for value in values if value.open), None)
    if opened is not None:
        return opened
    numbers = [value.value for value in values]
    mean = ROOT.divide(reduce(EXACT.add, numbers), Decimal(len(numbers)))
    place = min(int(number.as_tuple().exponent) for number in numbers) - 1
    return plain(mean.quantize(Decimal(f"1e{place}"), ROUND_HALF_EVEN, EXACT), values[0].unit)
