"""How papers write figures, money and days in English; the same as everywhere else in jobkit."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from jobkit.jobs.money import Money

_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip


class EnglishFormats:
    """Money and days as the files of the book have them, long days in words."""

    def money(self, money: Money) -> str:
        """Write an amount.

        >>> EnglishFormats().money(Money(Decimal("160.00"), "EUR"))
        '160.00 EUR'
        """
        return str(money)

    def number(self, number: Decimal) -> str:
        """Write a number without idle zeros.

        >>> EnglishFormats().number(Decimal("1.50"))
        '1.5'
        """
        return f"{number.normalize():f}"

    def percent(self, percent: Decimal) -> str:
        """Write so many percent.

        >>> EnglishFormats().percent(Decimal("24.0"))
        '24 %'
        """
        return f"{percent.normalize():f} %"

    def figure(self, text: str) -> str:
        """Write a figure with its unit: as it is."""
        return text

    def day(self, day: date) -> str:
        """Write a day where it has to be short."""
        return day.isoformat()

    def long_day(self, day: date) -> str:
        """Write a day in full.

        >>> EnglishFormats().long_day(date(2026, 10, 26))
        '26 October 2026'
        """
        return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


class PlainFormats(EnglishFormats):
    """Days by ISO 8601 and all else as in English: for other languages, where their locale data are not installed."""

    def long_day(self, day: date) -> str:
        """Write a day: names of months would be English."""
        return day.isoformat()
