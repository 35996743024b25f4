"""Read the tables of a file into records: each key goes to the field of its name, as the schema says what it holds.

A key that is not there leaves the field at its usual value. What cannot be read leaves it there too, and is noted.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date
from decimal import Decimal
from functools import partial
from typing import Any

from jobkit.book.read.histories import unit_prices
from jobkit.book.read.values import limit_of, moment_of, rate_of
from jobkit.book.schema.entry_keys import BESIDE, Key, all_keys
from jobkit.book.schema.trouble import Trouble
from jobkit.jobs.duration import parse_duration
from jobkit.jobs.entries import Photo
from jobkit.jobs.finding import Place
from jobkit.jobs.money import parse_money, parse_unit_price
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError
from jobkit.units.quantity import parse_quantity

Path = tuple[str, ...]
Row = Mapping[str, Any]
_Within = Callable[[Any, Place, list[Trouble]], Any]


class Shape(NamedTuple):
    """What becomes of a table: its record, the field that holds this, and the fields of keys with other names.

    A key whose field is "" is not read.
    """

    record: Any
    field: str = ""
    names: Mapping[str, str] = {}


class _Reader(NamedTuple):
    """How a value is read: by itself, or with the `kind` that is beside it; neither where it is taken as it is."""

    alone: Callable[[Any], Any] | None = None
    beside: Callable[[Any, str | None], Any] | None = None


class _Column(NamedTuple):
    """What becomes of a key: the place of its field (-1 for none), and how the value is read; see `_Reader`.

    `within` reads a value in which there are places of their own: tables, and names with values.
    """

    at: int
    alone: Callable[[Any], Any] | None = None
    beside: Callable[[Any, str | None], Any] | None = None
    within: _Within | None = None


class _Plan(NamedTuple):
    """How a table becomes a record: what its fields usually hold, where each is, and what becomes of each key."""

    record: Any
    usual: tuple[Any, ...]
    at: Mapping[str, int]
    columns: Mapping[str, _Column]


class Tables:
    """The tables of one kind of file, by path; () is the top of the file."""

    def __init__(self, kind: str, shapes: Mapping[Path, Shape]) -> None:
        self._kind = kind
        self._shapes = shapes
        self._plans: dict[Path, _Plan] = {}

    def record(self, table: Path, row: Row, place: Place, troubles: list[Trouble], /, **usual: Any) -> Any:
        """Make the record of a table whose row is at `place`; what cannot be read is noted in `troubles`.

        `usual` is what fields hold that the table does not name; the field `path` holds the place, unless it is named.
        """
        # This is most of what reading takes: one loop, and no call that is not needed.
        plan = self._plans.get(table) or self._plan(table)
        columns, fields = plan.columns, list(plan.usual)
        if "path" in plan.at:
            fields[plan.at["path"]] = place
        for name, value in usual.items():
            fields[plan.at[name]] = value
        for key, value in row.items():
            at, alone, beside, within = columns[key]
            try:
                if alone:
                    fields[at] = alone(value)
                elif beside:
                    fields[at] = beside(value, row.get("kind"))
                elif within:
                    fields[at] = within(value, (*place, key), troubles) if value else fields[at]
                elif at >= 0:
                    fields[at] = value
            except MisuseError as misuse:
                troubles.append(Trouble((*place, key), misuse.message, misuse.mend))
        return tuple.__new__(plan.record, fields)

    def _plan(self, path: Path) -> _Plan:
        record = self._shapes[path].record
        at = {name: number for number, name in enumerate(record._fields)}
        usual = tuple(record._field_defaults.get(name) for name in at)
        columns = {key.name: self._column(path, key, at) for key in all_keys(self._kind, path)}
        return self._plans.setdefault(path, _Plan(record, usual, at, columns))

    def _column(self, path: Path, key: Key, at: Mapping[str, int]) -> _Column:
        shape = self._shapes.get((*path, key.name))
        if shape:
            one_or_many = self._many if key.form == "tables" else self.record
            return _Column(at[shape.field], within=partial(one_or_many, (*path, key.name)))
        field = self._shapes[path].names.get(key.name, key.name)
        if not (field and key.form):
            return _Column(-1)
        if key.form == "history":
            return _Column(at[field], within=unit_prices)
        if key.form == "pairs":
            return _Column(at[field], within=partial(_pairs, _reader(key._replace(form=key.of)).alone))
        return _Column(at[field], *_reader(key))

    def _many(self, path: Path, rows: list[Row], place: Place, troubles: list[Trouble]) -> tuple[Any, ...]:
        read = self.record
        return tuple([read(path, row, (*place, number), troubles) for number, row in enumerate(rows)])


def _pairs(
    read: Callable[[Any], Any] | None, values: Row, place: Place, troubles: list[Trouble]
) -> tuple[tuple[str, Any], ...]:
    """Read names with values; one that cannot be read is left out."""
    pairs = []
    for name, value in values.items():
        try:
            pairs.append((name, read(value) if read else value))
        except MisuseError as misuse:
            troubles.append(Trouble((*place, name), misuse.message, misuse.mend))
    return tuple(pairs)


def _reader(key: Key) -> _Reader:
    """Choose how the value of a key is read."""
    if key.form == "quantities":
        each = _reader(key._replace(form="quantity")).beside
        assert each is not None
        return _Reader(beside=lambda texts, kind: tuple(each(text, kind) for text in texts))
    parse = _BY_KIND.get(key.form)
    if parse is None:
        return _Reader(_BY_FORM[key.form])
    if key.kind == BESIDE:
        return _Reader(beside=parse)
    return _Reader(partial(parse, kind=key.kind) if key.kind else parse)


_BY_KIND: Mapping[str, Callable[..., Any]] = {"quantity": parse_quantity, "limit": limit_of}


def _photos(values: list[str | Row]) -> Iterator[Photo]:
    """Read names of files, with captions or without; one whose name was refused is left out."""
    for value in values:
        if not isinstance(value, Mapping):
            yield Photo(value)
        elif "file" in value:
            yield Photo(**value)


def _number(value: float) -> Decimal:
    return Decimal(str(value))


def _numbers(value: float | Row) -> tuple[tuple[str, Decimal], ...]:
    """Read a number, or one for each name; one for all has the name ""."""
    by_name = value if isinstance(value, Mapping) else {"": value}
    return tuple((name, _number(one)) for name, one in by_name.items())


_BY_FORM: Mapping[str, Callable[[Any], Any] | None] = {
    **dict.fromkeys(("const", "text", "choice", "flag", "job")),
    "texts": tuple,
    "photos": lambda photos: tuple(_photos(photos)),
    "number": _number,
    "numbers": _numbers,
    "day": date.fromisoformat,
    "moment": moment_of,
    "money": parse_money,
    "unit price": parse_unit_price,
    "percentage": rate_of,
    "duration": parse_duration,
}
"""How each form is read; what is None is in the record as it is in the file."""
