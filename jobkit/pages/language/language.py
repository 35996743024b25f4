"""A language: what its catalogue says for words written in English, and how it writes what goes into them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from gettext import NullTranslations
from typing import Protocol

from jobkit.jobs.duration import Duration
from jobkit.jobs.money import Money
from jobkit.named_tuple import NamedTuple
from jobkit.pages.language.english import EnglishFormats
from jobkit.units.phrase import Figure, IsoDay, Joined, Phrase, Typed, joined
from jobkit.units.quantity import Quantity


class Formats(Protocol):
    """How a language writes figures, money and days."""

    def money(self, money: Money) -> str:
        """Write an amount with all its decimals."""

    def number(self, number: Decimal) -> str:
        """Write a number without idle zeros."""

    def percent(self, percent: Decimal) -> str:
        """Write so many percent."""

    def figure(self, text: str) -> str:
        """Write a figure with its unit, given as English writes it."""

    def day(self, day: date) -> str:
        """Write a day where it has to be short."""

    def long_day(self, day: date) -> str:
        """Write a day in full."""


class Language(NamedTuple):
    """One language by its tag (BCP 47).

    `words` are the catalogues, the book's own before ours; what they lack is said in English. `typed` are the same for
    words that come from files of the book, which a catalogue need not have.
    """

    tag: str = "en"
    words: NullTranslations = NullTranslations()
    typed: NullTranslations = NullTranslations()
    formats: Formats = EnglishFormats()

    def say(self, words: str, context: str = "", **values: object) -> str:
        """Say words that are written out where this is called, or a `Phrase`; the values go into places like {day}.

        >>> ENGLISH.say("You hear from us by {day}.", day=date(2026, 10, 24))
        'You hear from us by 24 October 2026.'
        """
        if isinstance(words, Phrase):
            context, values = words.context, {**words.values, **values}
            words = words.pattern
        if not words:
            return ""
        found = self.words.pgettext(context, words) if context else self.words.gettext(words)
        return self._filled(found, values)

    def plural(self, one: str, many: str, count: int, **values: object) -> str:
        """Say how many, in the form that the language has for this number.

        >>> ENGLISH.plural("{count} day", "{count} days", 1)
        '1 day'
        """
        return self._filled(self.words.ngettext(one, many, count), {"count": count, **values})

    def own(self, typed: str | None) -> str:
        """Say words from a file of the book, such as its terms: translated if a catalogue has them, else as typed."""
        if type(typed) is not str:
            return self.text(typed or "")
        return self.typed.gettext(typed) if typed else ""

    def figure(self, text: str) -> str:
        """Write a figure with its unit, given as English writes it."""
        return self.formats.figure(text)

    def percent(self, percent: Decimal) -> str:
        """Write so many percent."""
        return self.formats.percent(percent)

    def day(self, day: date | None) -> str:
        """Write a day where it has to be short; "" for none."""
        return self.formats.day(day) if day else ""

    def written(self, value: object) -> str:
        """Write what goes into a place: days in full, money, quantities and phrases as the language has them."""
        if isinstance(value, str):
            return self.text(value)
        if isinstance(value, date):
            return self.formats.long_day(value)
        if isinstance(value, Money):
            return self.formats.money(value)
        if isinstance(value, Quantity):
            return self.formats.figure(value.text)
        if isinstance(value, Duration):
            return self.duration(value)
        return self.formats.number(value) if isinstance(value, Decimal) else str(value)

    def text(self, text: str) -> str:
        """Say what may be a `Phrase`, texts that were joined, or a `Figure`; any other text stays as it is."""
        if isinstance(text, Phrase):
            return self.say(text)
        if isinstance(text, Joined):
            return text.between.join(map(self.text, text.parts))
        if isinstance(text, Typed):
            return self.typed.gettext(text)
        if isinstance(text, IsoDay):
            return self.iso_day(text)
        return self.formats.figure(text) if isinstance(text, Figure) else text

    def iso_day(self, day: str) -> str:
        """Write a day given as the files have it; "" for none."""
        return self.formats.day(date.fromisoformat(day)) if day else ""

    def duration(self, duration: Duration) -> str:
        """Say a length of time.

        >>> ENGLISH.duration(Duration(months=18)), ENGLISH.duration(Duration())
        ('1 year and 6 months', '0 days')
        """
        years, months = divmod(duration.months, 12)
        said = [
            self.plural("{count} year", "{count} years", years) if years else "",
            self.plural("{count} month", "{count} months", months) if months else "",
            self.plural("{count} day", "{count} days", duration.days) if duration.days else "",
        ]
        parts = [part for part in said if part] or [self.plural("{count} day", "{count} days", 0)]
        return self.listing(parts)

    def listing(self, parts: list[str]) -> str:
        """Join words with commas and an "and".

        >>> ENGLISH.listing(["U5", "U6", "U7"])
        'U5, U6 and U7'
        """
        if len(parts) < 2:
            return "".join(parts)
        return self.say("{some} and {last}", some=joined(", ", parts[:-1]), last=parts[-1])

    def _filled(self, words: str, values: dict[str, object]) -> str:
        """Put values into their places; words without values may hold braces."""
        if not values:
            return words
        return words.format_map({name: self.written(value) for name, value in values.items()})


ENGLISH = Language()
"""The language in which the papers are written in the source."""
