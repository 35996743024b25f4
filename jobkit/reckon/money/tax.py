"""What the lines of a bill come to, net, tax and gross, exact to the minor unit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction

from jobkit.jobs.money import Money, check_currency, negated, rounded_ratio, times, total
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError

PRICES = ("net", "gross")
"""Whether prices are without or with tax."""

ROUNDED = ("line", "bill")
"""Whether tax is rounded for each line, or once for all lines of a rate."""


class TaxError(MisuseError):
    """Lines that cannot be taxed as asked."""


class TaxedLine(NamedTuple):
    """So many of something at a price each, taxed at so many percent.

    The quantity may be a fraction (50 minutes of an hour) and negative (a credit).
    """

    what: str
    quantity: Decimal | Fraction
    each: Money
    percent: Decimal


class Billed(NamedTuple):
    """A line and what it comes to; where tax is rounded by bill, `tax` is the line's part of it."""

    line: TaxedLine
    net: Money
    tax: Money
    gross: Money


class AtRate(NamedTuple):
    """What all lines of one rate come to."""

    percent: Decimal
    net: Money
    tax: Money
    gross: Money


class Totals(NamedTuple):
    """A whole bill: each column adds up exactly, over lines and over rates (EN 16931, BR-CO-10, BR-CO-14)."""

    lines: tuple[Billed, ...]
    rates: tuple[AtRate, ...]
    net: Money
    tax: Money
    gross: Money


def totals(lines: Iterable[TaxedLine], currency: str, prices: str = "net", by: str = "bill") -> Totals:
    """Calculate a bill with `prices` net or gross, tax rounded `by` line or bill; raises TaxError, MoneyError.

    Quantity times price is rounded for each line (EN 16931-1:2017, BT-131, BR-DEC-23). Tax is rounded for
    each line, or once for all lines of a rate (BR-CO-17); both are in use and differ by small change (HMRC
    VATREC12030). In the second case each line shows by how much the rounded tax grew with it, so that its
    column adds up. Halves go away from zero, so a credit note mirrors its bill. This is arithmetic, not tax
    advice.
    """
    rows = tuple(lines)
    _check(rows, prices, by)
    billed = tuple(_billed(rows, currency, prices, by))
    whole = _sums(billed, currency)
    percents = tuple(dict.fromkeys(line.percent for line in rows))
    if len(percents) == 1:
        return Totals(billed, (AtRate(*percents, *whole),), *whole)
    rates = tuple(
        AtRate(percent, *_sums([each for each in billed if each.line.percent == percent], currency))
        for percent in percents
    )
    return Totals(billed, rates, *whole)


def cash_rounding(gross: Money, step: Money | None) -> Money:
    """Return what is added to an amount to round it to whole steps, halves away from zero (EN 16931-1:2017, BT-114).

    Nothing without a step, or with one of another currency.
    """
    if step is None or not step.amount or step.currency != gross.currency:
        return total((), gross.currency)
    steps = rounded_half_up(Fraction(gross.amount) / Fraction(step.amount))
    return total([times(step, Decimal(steps)), negated(gross)], gross.currency)


def opposite(sums: Totals) -> Totals:
    """Turn the signs of a bill: a credit note credits what the book takes off."""
    rates = (
        AtRate(each.percent, negated(each.net), negated(each.tax), negated(each.gross)) for each in sums.rates
    )
    return Totals(
        tuple(map(opposite_line, sums.lines)),
        tuple(rates),
        negated(sums.net),
        negated(sums.tax),
        negated(sums.gross),
    )


def opposite_line(row: Billed) -> Billed:
    """Turn the sign of a line."""
    line = row.line._replace(quantity=-row.line.quantity)
    return Billed(line, negated(row.net), negated(row.tax), negated(row.gross))


def rounded_half_up(value: Fraction) -> int:
    """Round to a whole number, halves away from zero.

    >>> rounded_half_up(Fraction(5, 2)), rounded_half_up(Fraction(-5, 2))
    (3, -3)
    """
    whole = int(abs(value) + Fraction(1, 2))
    return whole if value >= 0 else -whole


def _billed(lines: Sequence[TaxedLine], currency: str, prices: str, by: str) -> Iterable[Billed]:
    nothing = total((), currency)
    so_far: dict[Decimal, tuple[Money, Money]] = {}
    for line in lines:
        check_currency(line.each, currency)
        amount = times(line.each, line.quantity)
        before, taxed = so_far.get(line.percent, (nothing, nothing)) if by == "bill" else (nothing, nothing)
        after = total([before, amount], currency)
        with_it = rounded_ratio(*_exact_tax(after, line.percent, prices), currency)
        so_far[line.percent] = after, with_it
        tax = total([with_it, negated(taxed)], currency)
        if prices == "net":
            yield Billed(line, amount, tax, total([amount, tax], currency))
        else:
            yield Billed(line, total([amount, negated(tax)], currency), tax, amount)


def _exact_tax(amount: Money, percent: Decimal, prices: str) -> tuple[int, int]:
    """Return the tax in or on an amount as a ratio; a roll-up calculates thousands, and fractions take longer."""
    (units, unit), (rate, of_rate) = amount.amount.as_integer_ratio(), percent.as_integer_ratio()
    whole = 100 * of_rate if prices == "net" else 100 * of_rate + rate
    return units * rate, unit * whole


def _sums(billed: Sequence[Billed], currency: str) -> tuple[Money, Money, Money]:
    net = total((each.net for each in billed), currency)
    tax = total((each.tax for each in billed), currency)
    return net, tax, total([net, tax], currency)


def _check(lines: Sequence[TaxedLine], prices: str, by: str) -> None:
    if prices not in PRICES:
        raise TaxError(f'prices cannot be "{prices}"', "write net or gross")
    if by not in ROUNDED:
        raise TaxError(f'tax cannot be rounded by "{by}"', "write line or bill")
    absurd = next((line for line in lines if not 0 <= line.percent <= 100), None)
    if absurd is not None:
        raise TaxError(f"{absurd.percent} % is not a rate of tax", "write one from 0 % to 100 %")
