"""Amounts of money: exact decimals that never travel without their currency."""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal
from functools import lru_cache
from typing import TYPE_CHECKING

from jobkit.jobs.currency import CurrencyError, minor_units
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError
from jobkit.units.exact import EXACT
from jobkit.units.phrase import phrase
from jobkit.units.slip import quoted

if TYPE_CHECKING:
    from fractions import Fraction

ROUNDING = phrase("to the nearest minor unit, halves away from zero")
"""How money is rounded here, as the papers say it: a credit note mirrors the bill that it undoes."""

# Twelve digits before the point hold the price of any repair in any currency.
_MONEY = re.compile(r"([0-9]{1,12})(?:\.([0-9]+))? ([A-Z]{3})")

_SLIPS = (
    (r"[+−-]?[0-9]+,[0-9]{1,2} *[A-Z]{3}", "has a decimal comma", "write a point"),
    (r".*[0-9][,'’_ ][0-9].*", "has separators", "write none, and a point before the decimals"),
    (r"[A-Za-z]{3} *[+−-]?[0-9].*", "has the currency first", "write the amount first"),
    (r".*[€$£¥].*", "has a sign for the currency", "write its three letters of ISO 4217"),
    (r"[+−-][0-9].*", "has a sign", "write the amount without it"),
    (r"[0-9]{13,}.*", "is implausibly large", "write at most twelve digits before the point"),
    (r"[0-9]+(\.[0-9]+)?", "has no currency", "write its three letters after the amount"),
    (r"[0-9]+(\.[0-9]+)? *[A-Za-z]{3} *", "is misspelled", "write one space, then capital letters"),
    (r".*", "is not an amount of money", "write a number, a space and the currency"),
)


class MoneyError(MisuseError):
    """An amount that cannot be read, or amounts that cannot be added."""


class Money(NamedTuple):
    """An amount with as many decimals as its currency has; build it with `parse_money` or `rounded`.

    Only the price of one piece may have more (`parse_unit_price`); what many pieces come to is rounded by `times`.
    """

    amount: Decimal
    currency: str

    def __str__(self) -> str:
        """Spell it as the files do: "160.00 EUR"."""
        return f"{self.amount:f} {self.currency}"


def parse_money(text: str) -> Money:
    """Read the text form of the files, "160.00 EUR"; raises MoneyError.

    Fewer decimals than the currency has are filled up; more are refused, for they cannot be paid. A sign is refused
    too: no price is negative, and what is undone arises only by calculation.

    >>> parse_money("160 EUR")
    Money(amount=Decimal('160.00'), currency='EUR')
    """
    return _read(text, finer=False)


def parse_unit_price(text: str) -> Money:
    """Read the price or the cost of one piece, which may be less than the smallest coin; raises MoneyError.

    >>> parse_unit_price("0.0042 EUR"), parse_unit_price("4.2 EUR")
    (Money(amount=Decimal('0.0042'), currency='EUR'), Money(amount=Decimal('4.20'), currency='EUR'))
    """
    return _read(text, finer=True)


@lru_cache(1000)  # the same prices stand in job after job, and are asked for again and again
def _read(text: str, *, finer: bool) -> Money:
    match = _MONEY.fullmatch(text)
    if match is None:
        raise _slip(text)
    whole, decimals, currency = match.groups(default="")
    units = _units_of(currency, text)
    if finer:
        units = max(units, len(decimals.rstrip("0")))
    digits = decimals[:units] if finer else decimals
    if len(digits) > units:
        raise MoneyError(f"{quoted(text)} has more decimals than {currency}", _mend_decimals(units))
    return _money("", f"{whole}{digits:0<{units}}", currency, units)


def rounded(amount: Decimal | Fraction, currency: str) -> Money:
    """Round an exact amount to the minor unit, halves away from zero (decimal's ROUND_HALF_UP).

    Source: HMRC manual VATREC12030, "below 0.5p down, 0.5p and above up"; taken on the magnitude, so that a
    credit note mirrors its bill. Raises CurrencyError for a currency that is not listed.

    >>> str(rounded(Decimal("1.005"), "EUR")), str(rounded(Decimal("-1.005"), "EUR"))
    ('1.01 EUR', '-1.01 EUR')
    """
    return rounded_ratio(*amount.as_integer_ratio(), currency)


def rounded_ratio(numerator: int, denominator: int, currency: str) -> Money:
    """Round as `rounded` does, an amount given as a ratio; its denominator is positive."""
    units = minor_units(currency)
    whole = (2 * abs(numerator) * 10**units + denominator) // (2 * denominator)
    return _money("-" if numerator < 0 else "", str(whole), currency, units)


def times(each: Money, count: Decimal | Fraction) -> Money:
    """Multiply out, rounded once, to the minor unit.

    >>> str(times(parse_unit_price("0.0042 EUR"), Decimal(1000)))
    '4.20 EUR'
    >>> str(times(parse_money("0.33 EUR"), Decimal("2.5")))
    '0.83 EUR'
    """
    if count == 1 and each.amount.as_tuple().exponent == -minor_units(each.currency):
        return each
    (upper, lower), (whole, part) = count.as_integer_ratio(), each.amount.as_integer_ratio()
    return rounded_ratio(upper * whole, lower * part, each.currency)


def total(amounts: Iterable[Money], currency: str) -> Money:
    """Add exactly; nothing adds up to 0 in `currency`. Raises MoneyError for a currency that differs."""
    result = _nothing(currency)
    for each in amounts:
        check_currency(each, currency)
        result = EXACT.add(result, each.amount)
    return Money(result, currency)


def negated(money: Money) -> Money:
    """Turn an amount into what takes it back."""
    return Money(money.amount.copy_negate() if money.amount else money.amount, money.currency)


def is_above(money: Money, limit: Money) -> bool:
    """Tell whether an amount is above another; raises MoneyError where the currencies differ."""
    check_currency(money, limit.currency)
    return money.amount > limit.amount


def check_currency(money: Money, currency: str) -> None:
    """Raise MoneyError where an amount is not in the currency in which it is to be taken with others."""
    if money.currency != currency:
        raise MoneyError(
            f"{money} and amounts in {currency} cannot be added", f"write them all in {currency}"
        )


@lru_cache
def _nothing(currency: str) -> Decimal:
    return _money("", "0", currency, minor_units(currency)).amount


def _money(sign: str, digits: str, currency: str, units: int) -> Money:
    # Built from text, because arithmetic would round to the precision of the context; a zero bears no sign.
    amount = Decimal(f"{sign}{digits}E-{units}")
    return Money(amount or abs(amount), currency)


def _units_of(currency: str, text: str) -> int:
    try:
        return minor_units(currency)
    except CurrencyError as error:
        raise MoneyError(f"{quoted(text)} has an {error.message}", error.mend) from None


def _slip(text: str) -> MoneyError:
    what, mend = next((what, mend) for slip, what, mend in _SLIPS if re.fullmatch(slip, text, re.DOTALL))
    return MoneyError(f"{quoted(text)} {what}", f'{mend}, as in "160.00 EUR"')


def _mend_decimals(units: int) -> str:
    return f"write at most {units}" if units else "write a whole amount"
