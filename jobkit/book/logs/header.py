"""The header of a log: names, units, and which column is which."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from jobkit.book.logs.trouble import LogTrouble, quoted
from jobkit.named_tuple import NamedTuple
from jobkit.units.kinds import SPELLINGS

OTHER_UNITS = frozenset(
    {"%", "rpm", "1/min", "min⁻¹", "fps", "s", "ms", "min", "h", "C", "F", "deg C", "deg F"}
)
"""Units that a header may name beside those of readings; `C` and `F` are temperatures if the log is one of them."""

_WITH_UNIT = re.compile(r"(.*\S)\s*(?:\[([^\[\]]+)\]|\(([^()]+)\)|\s/\s*(\S+)|,\s+(\S+))")
_TIME_IN = re.compile(r"(time)\s+(s|ms|min|h)", re.IGNORECASE)
_DEGREES_IN = re.compile(r"(.*[^\s,/])\s*[,/]?\s+(°\s?[CF]|deg\s?[CF])")
"""Without brackets only a time and degrees may follow a name: "phase A" is a name."""

_ONE_SPELLING = str.maketrans({"℃": "°C", "℉": "°F", "º": "°", "˚": "°"})
"""Other characters that programs write for the sign of a degree."""

_LIKE = re.compile(r"[\s_\-.]+")


class Column(NamedTuple):
    """One column of a log: its name without unit, its unit as written, and its place from 0."""

    name: str
    unit: str
    place: int


class Wanted(NamedTuple):
    """A column that a reader looks for: its name in jobkit, and other names that programs give to the same thing."""

    name: str
    aliases: tuple[str, ...] = ()
    needed: bool = True


def split_heading(heading: str) -> tuple[str, str]:
    """Split a heading into name and unit; what is in brackets and no unit stays in the name.

    >>> [split_heading(text) for text in ("Hot spot [°C]", "power (W)", "t1 / °F", "VRM (left)", "fan, rpm")]
    [('Hot spot', '°C'), ('power', 'W'), ('t1', '°F'), ('VRM (left)', ''), ('fan', 'rpm')]
    >>> split_heading("Time s"), split_heading("t1 °F"), split_heading("phase A")
    (('Time', 's'), ('t1', '°F'), ('phase A', ''))
    """
    text = " ".join(heading.translate(_ONE_SPELLING).split())
    bare = _TIME_IN.fullmatch(text)
    if bare:
        return bare[1], bare[2].lower()
    found = _WITH_UNIT.fullmatch(text)
    if found:
        unit = next(group for group in found.groups()[1:] if group is not None).strip()
        if unit in SPELLINGS or unit in OTHER_UNITS:
            return found[1], unit
    degrees = _DEGREES_IN.fullmatch(text)
    return (degrees[1], f"°{degrees[2][-1]}") if degrees else (text, "")


def read_header(cells: list[str], units: Mapping[str, str]) -> tuple[Column, ...]:
    """Return the columns of a header; `units` states units by name and wins over those in the header.

    Columns without a name, such as one behind a separator at the end of the line, are left out.
    """
    by_likeness = {alike(name): unit for name, unit in units.items()}
    columns = []
    for place, cell in enumerate(cells):
        name, unit = split_heading(cell)
        if name:
            columns.append(Column(name, by_likeness.get(alike(name), unit), place))
    return tuple(columns)


def match_columns(
    columns: tuple[Column, ...], wanted: Iterable[Wanted], names: Mapping[str, str], line: int = 1
) -> dict[str, Column] | LogTrouble:
    """Return the wanted columns by their name in jobkit; `names` states how the log calls one of them.

    A needed column that is missing, or two that fit, is a trouble of the header's `line`.
    """
    found: dict[str, Column] = {}
    for one in wanted:
        stated = names.get(one.name)
        fitting = _fitting(columns, (stated,) if stated is not None else (one.name, *one.aliases))
        if len(fitting) > 1:
            places = " and ".join(str(column.place + 1) for column in fitting)
            return LogTrouble(
                line,
                f"columns {places} are both named {quoted(fitting[0].name)}",
                "give each column its own name",
            )
        if fitting:
            found[one.name] = fitting[0]
        elif one.needed or stated is not None:
            return _missing(one, stated, columns, line)
    return found


def alike(name: str) -> str:
    """Write a name so that case, spaces, underscores and hyphens make no difference.

    >>> alike("Hot_Spot") == alike("hot spot")
    True
    """
    return _LIKE.sub(" ", name).strip().casefold()


def _fitting(columns: tuple[Column, ...], names: tuple[str, ...]) -> list[Column]:
    """Return the columns of the first name that any column has."""
    for name in names:
        fitting = [column for column in columns if alike(column.name) == alike(name)]
        if fitting:
            return fitting
    return []


def _missing(one: Wanted, stated: str | None, columns: tuple[Column, ...], line: int) -> LogTrouble:
    there = ", ".join(column.name for column in columns) or "none"
    if stated is not None:
        message = f"no column is named {quoted(stated)}, which is stated for {one.name}"
    else:
        message = f"no column is named {one.name}"
    return LogTrouble(
        line,
        f"{message}; columns of the log: {there}",
        f"state which column is {one.name}: --column {one.name}=HEADING",
    )
