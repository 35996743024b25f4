"""Read the tables of a file into records: each key goes to the field of its name, as the schema says what it holds.

A key that is not there leaves the field at its usual value. What cannot be read leaves it there too, and is noted.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date
from decimal import Decimal
from functools import partial
from typing import Any, NamedTuple

from jobkit.book.read.histories import unit_prices
from jobkit.book.read.values import limit_of, moment_of, rate_of
from jobkit.book.schema.entry_keys import BESIDE, Key, all_keys
from jobkit.book.schema.trouble import Trouble
from jobkit.jobs.duration import parse_duration
from jobkit.jobs.entries import Photo
from jobkit.jobs.finding import Place
from jobkit.jobs.money import parse_money, parse_unit_price
from jobkit.units.errors import MisuseError
from jobkit.units.quantity import parse_quantity

Path = tuple[str, ...]
Row = Mapping[str, Any]
_Read = Callable[[Any, Row], Any]


class Shape(NamedTuple):
    """What becomes of a table: its record, the field that holds this, and the fields of keys with other names.

    A key whose field is "" is not read.
    """

    record: Callable[..., Any]
    field: str = ""
    names: Mapping[str, str] = {}


class _Column(NamedTuple):
    """What becomes of a key: its field, and how the value is read; None where it is taken as it is.

    `within` reads a value in which there are places of their own: tables, and names with values.
    """

    field: str
    read: _Read | None = None
    within: Callable[[Any, Place, list[Trouble]], Any] | None = None


class Tables:
    """The tables of one kind of file, by path; () is the top of the file."""

    def __init__(self, kind: str, shapes: Mapping[Path, Shape]) -> None:
        self._kind = kind
        self._shapes = shapes
        self._columns: dict[Path, Mapping[str, _Column]] = {}

    def record(self, path: Path, row: Row, place: Place, troubles: list[Trouble]) -> Any:
        """Make the record of a table that is at `place`; a record that has a `path` is told its place."""
        record: Any = self._shapes[path].record
        values = self.values(path, row, place, troubles)
        return record(path=place, **values) if "path" in record._fields else record(**values)

    def values(self, path: Path, row: Row, place: Place, troubles: list[Trouble]) -> dict[str, Any]:
        """Read the keys of a table, by field; what cannot be read is noted in `troubles`."""
        columns = self._columns.get(path) or self._columns_of(path)
        values = {}
        for key, value in row.items():
            field, read, within = columns[key]
            try:
                if within:
                    if value:
                        values[field] = within(value, (*place, key), troubles)
                elif field:
                    values[field] = read(value, row) if read else value
            except MisuseError as misuse:
                troubles.append(Trouble((*place, key), misuse.message, misuse.mend))
        return values

    def _columns_of(self, path: Path) -> Mapping[str, _Column]:
        columns = {key.name: self._column(path, key) for key in all_keys(self._kind, path)}
        self._columns[path] = columns
        return columns

    def _column(self, path: Path, key: Key) -> _Column:
        shape = self._shapes.get((*path, key.name))
        if shape:
            one_or_many = self._many if key.form == "tables" else self.record
            return _Column(shape.field, within=partial(one_or_many, (*path, key.name)))
        field = self._shapes[path].names.get(key.name, key.name)
        if key.form == "history":
            return _Column(field, within=unit_prices)
        if key.form == "pairs":
            return _Column(field, within=partial(_pairs, _reading(key._replace(form=key.of))))
        return _Column(field if key.form else "", _reading(key))

    def _many(self, path: Path, rows: list[Row], place: Place, troubles: list[Trouble]) -> tuple[Any, ...]:
        return tuple(self.record(path, row, (*place, number), troubles) for number, row in enumerate(rows))


def _pairs(
    read: _Read | None, values: Row, place: Place, troubles: list[Trouble]
) -> tuple[tuple[str, Any], ...]:
    """Read names with values; one that cannot be read is left out."""
    pairs = []
    for name, value in values.items():
        try:
            pairs.append((name, read(value, values) if read else value))
        except MisuseError as misuse:
            troubles.append(Trouble((*place, name), misuse.message, misuse.mend))
    return tuple(pairs)


def _reading(key: Key) -> _Read | None:
    """Choose how the value of a key is read."""
    if key.form == "quantities":
        each = _reading(key._replace(form="quantity"))
        assert each is not None
        return lambda texts, row: tuple(each(text, row) for text in texts)
    parse = _BY_KIND.get(key.form)
    if parse is None:
        return _BY_FORM[key.form]
    if key.kind == BESIDE:
        return lambda text, row: parse(text, row.get("kind"))
    kind = key.kind or None
    return lambda text, _row: parse(text, kind)


_BY_KIND: Mapping[str, Callable[[str, str | None], Any]] = {"quantity": parse_quantity, "limit": limit_of}


def _photos(values: list[str | Row]) -> Iterator[Photo]:
    """Read names of files, with captions or without; one whose name was refused is left out."""
    for value in values:
        if not isinstance(value, Mapping):
            yield Photo(value)
        elif "file" in value:
            yield Photo(**value)


def _number(value: float, _row: Row) -> Decimal:
    return Decimal(str(value))


def _numbers(value: float | Row, row: Row) -> tuple[tuple[str, Decimal], ...]:
    """Read a number, or one for each name; one for all has the name ""."""
    by_name = value if isinstance(value, Mapping) else {"": value}
    return tuple((name, _number(one, row)) for name, one in by_name.items())


_BY_FORM: Mapping[str, _Read | None] = {
    **dict.fromkeys(("", "const", "text", "choice", "flag", "job")),
    "texts": lambda texts, _row: tuple(texts),
    "photos": lambda photos, _row: tuple(_photos(photos)),
    "number": _number,
    "numbers": _numbers,
    "day": lambda text, _row: date.fromisoformat(text),
    "moment": lambda text, _row: moment_of(text),
    "money": lambda text, _row: parse_money(text),
    "unit price": lambda text, _row: parse_unit_price(text),
    "percentage": lambda text, _row: rate_of(text),
    "duration": lambda text, _row: parse_duration(text),
}
"""How each form is read; what is None is in the record as it is in the file."""
