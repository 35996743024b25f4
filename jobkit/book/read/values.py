"""Read a table of a parsed file value by value; what cannot be read is noted and becomes None."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, datetime
from decimal import Decimal
from typing import Any, TypeVar

from jobkit.book.schema.trouble import Trouble
from jobkit.jobs.currency import minor_units
from jobkit.jobs.duration import Duration, parse_duration
from jobkit.jobs.finding import Place
from jobkit.jobs.money import Money, parse_money
from jobkit.units.errors import MisuseError
from jobkit.units.limit import Limit, parse_limit
from jobkit.units.quantity import Quantity, parse_quantity, parse_span
from jobkit.units.sensor_accuracy import SensorAccuracy, parse_sensor_accuracy

_Read = TypeVar("_Read")


class Values:
    """One table and its place in the file; `troubles` is shared by all tables of the file.

    The table has passed its schema, or has been pruned of what the schema refused: a value that is there has the
    right type. What the schema cannot tell (a limit's grammar, a unit against its kind) is found out here.
    """

    __slots__ = ("get", "place", "row", "text", "troubles")

    def __init__(self, row: dict[str, Any], place: Place, troubles: list[Trouble]) -> None:
        self.row = row
        self.get = row.get
        # Texts are most of what there is: each is one call, and no more.
        self.text: Callable[[str], str | None] = row.get
        self.place = place
        self.troubles = troubles

    def texts(self, key: str) -> tuple[str, ...]:
        """Read a list of texts."""
        return tuple(self.get(key, ()))

    def flag(self, key: str, *, habit: bool = False) -> bool:
        """Read true or false."""
        return bool(self.get(key, habit))

    def number(self, key: str) -> Decimal | None:
        """Read a number, exactly as written."""
        value = self.get(key)
        return None if value is None else Decimal(str(value))

    def whole(self, key: str, habit: int) -> int:
        """Read a whole number: 3 or 3.0, which is one too by JSON Schema (2020-12, 6.1.1)."""
        return int(self.get(key, habit))

    def day(self, key: str) -> date | None:
        """Read a date."""
        value = self.get(key)
        return None if value is None else date.fromisoformat(value)

    def moment(self, key: str) -> datetime | None:
        """Read a local date and time."""
        return self.parsed(key, moment_of)

    def quantity(self, key: str, kind: str | None = None) -> Quantity | None:
        """Read a quantity of a kind."""
        return self.parsed(key, parse_quantity, kind)

    def span(self, key: str, kind: str | None = None) -> Quantity | None:
        """Read a difference of two values of a kind, such as a meter's step: 1 °F of it is 5/9 °C."""
        return self.parsed(key, parse_span, kind)

    def limit(self, key: str, kind: str | None = None) -> Limit | None:
        """Read a limit, as `limit_of` does."""
        return self.parsed(key, limit_of, kind)

    def limit_in(self, key: str, kind: str) -> Limit | None:
        """Read a limit in a unit of a kind, and in no other."""
        return self.parsed(key, parse_limit, kind)

    def limits(self, key: str) -> tuple[tuple[str, Limit], ...]:
        """Read limits by name; one that cannot be read is left out."""
        table = self.table(key)
        limits = ((name, table.limit(name)) for name in table.row)
        return tuple((name, limit) for name, limit in limits if limit)

    def sensor_accuracy(self, key: str) -> SensorAccuracy | None:
        """Read how far a sensor may be off."""
        return self.parsed(key, parse_sensor_accuracy)

    def money(self, key: str) -> Money | None:
        """Read a sum of money."""
        return self.parsed(key, parse_money)

    def percentage(self, key: str) -> Decimal | None:
        """Read a rate of tax, "24 %", as a number of percent."""
        return self.parsed(key, rate_of)

    def currency(self, key: str) -> str | None:
        """Read a currency by its three letters."""
        return self.parsed(key, _currency)

    def duration(self, key: str) -> Duration | None:
        """Read an ISO 8601 duration."""
        return self.parsed(key, parse_duration)

    def durations(self, key: str) -> tuple[Duration, ...]:
        """Read a list of ISO 8601 durations; one that cannot be read is left out."""
        spans = []
        for index, text in enumerate(self.texts(key)):
            try:
                spans.append(parse_duration(text))
            except MisuseError as misuse:
                self._note((*self.place, key, index), misuse)
        return tuple(spans)

    def table(self, key: str) -> Values:
        """Go into a table; one that is missing reads as empty."""
        return Values(self.get(key) or {}, (*self.place, key), self.troubles)

    def tables(self, key: str) -> Iterator[Values]:
        """Go through an array of tables."""
        for index, row in enumerate(self.get(key, ())):
            yield Values(row, (*self.place, key, index), self.troubles)

    def parsed(self, key: str, parse: Callable[..., _Read], *kind: str | None) -> _Read | None:
        """Read a text with `parse`; what cannot be read is noted."""
        text = self.get(key)
        if text is None:
            return None
        try:
            return parse(text, *kind)
        except MisuseError as misuse:
            self._note((*self.place, key), misuse)
            return None

    def _note(self, place: Place, misuse: MisuseError) -> None:
        self.troubles.append(Trouble(place, misuse.message, misuse.mend))


def moment_of(text: str) -> datetime:
    """Read a local date and time: one in quotes may be of a day that there is not."""
    try:
        return datetime.fromisoformat(text)
    except ValueError:
        raise MisuseError(f"{text} is not in the calendar", "write it like 2026-10-22T10:05:00") from None


def limit_of(text: str, kind: str | None = None) -> Limit:
    """Read a limit; one in the unit of another kind is kept, as a rule of its own speaks about it."""
    try:
        return parse_limit(text, kind)
    except MisuseError:
        return parse_limit(text)


def rate_of(text: str) -> Decimal:
    """Read a rate of tax, "24 %", as a number of percent."""
    rate = Decimal(text.removesuffix("%").strip())
    if rate > 100:
        raise MisuseError(f"{text} is not a rate of tax", "write one from 0 % to 100 %")
    return rate


def _currency(code: str) -> str:
    minor_units(code)
    return code
