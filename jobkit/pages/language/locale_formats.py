"""How a language writes figures, money and days, by the locale data of the Unicode CLDR, which Babel carries.

Only what goes with the language is taken from there: signs, their order, names of months. How many decimals an amount
has is settled where it was calculated, and no figure is rounded here.
"""

from __future__ import annotations

import re
from copy import copy
from datetime import date
from decimal import Decimal

from babel import Locale, UnknownLocaleError
from babel.dates import format_date
from babel.numbers import NumberPattern, format_decimal, get_decimal_symbol

from jobkit.jobs.money import Money
from jobkit.units.errors import MisuseError

_POINT = re.compile(r"(?<=[0-9])\.(?=[0-9])")
_BLANKS = re.compile("[\u00a0\u202f\u2007]")
"""Spaces at which no line may end; terminals and tables have only the plain one."""
_MARKS = re.compile("[\u061c\u200e\u200f]")
"""Marks of the direction of writing, which a page sets itself."""


class LocaleFormats:
    """Figures, money and days as one locale has them."""

    def __init__(self, tag: str) -> None:
        """Take the data of a language by its tag, such as "de" or "de-AT"; raises MisuseError where there are none."""
        try:
            self._locale = Locale.parse(tag, sep="-")
        except (UnknownLocaleError, ValueError) as unknown:
            raise MisuseError(
                f'the locale data have no language "{tag}"',
                'write it as BCP 47 does, such as "de" or "de-AT"',
            ) from unknown
        self._point = get_decimal_symbol(self._locale)

    def money(self, money: Money) -> str:
        """Write an amount with all its decimals, in the way of the language.

        >>> LocaleFormats("de").money(Money(Decimal("1234.56"), "EUR"))
        '1.234,56 €'
        """
        pattern = _exact(self._locale.currency_formats["standard"], money.amount)
        return _plain(
            pattern.apply(money.amount, self._locale, currency=money.currency, currency_digits=False)
        )

    def number(self, number: Decimal) -> str:
        """Write a number without idle zeros.

        >>> LocaleFormats("de").number(Decimal("1234.50"))
        '1.234,5'
        """
        return _plain(format_decimal(number.normalize(), locale=self._locale, decimal_quantization=False))

    def percent(self, percent: Decimal) -> str:
        """Write so many percent.

        >>> LocaleFormats("de").percent(Decimal("25.50"))
        '25,5 %'
        """
        share = percent.normalize().scaleb(-2)
        pattern = self._locale.percent_formats[None]
        return _plain(pattern.apply(share, self._locale, decimal_quantization=False))

    def figure(self, text: str) -> str:
        """Write a figure with its unit: with the decimal sign of the language, thousands as they are.

        >>> LocaleFormats("de").figure(">= 0.5 V")
        '>= 0,5 V'
        """
        return _POINT.sub(self._point, text)

    def day(self, day: date) -> str:
        """Write a day where it has to be short.

        >>> LocaleFormats("de").day(date(2026, 11, 29))
        '29.11.2026'
        """
        return _plain(format_date(day, "medium", self._locale))

    def long_day(self, day: date) -> str:
        """Write a day in full.

        >>> LocaleFormats("de").long_day(date(2026, 11, 29))
        '29. November 2026'
        """
        return _plain(format_date(day, "long", self._locale))


def _exact(pattern: NumberPattern, amount: Decimal) -> NumberPattern:
    """Make a pattern write as many decimals as the amount has."""
    exponent = amount.as_tuple().exponent
    assert isinstance(exponent, int)
    made = copy(pattern)
    made.frac_prec = (max(-exponent, 0), max(-exponent, 0))
    return made


def _plain(text: str) -> str:
    return _BLANKS.sub(" ", _MARKS.sub("", text))
