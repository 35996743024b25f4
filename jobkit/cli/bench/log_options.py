"""What a call and bench.toml say about how a log is read."""

from __future__ import annotations

import codecs
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from jobkit.book.logs.columns import LogOptions
from jobkit.book.logs.trouble import BAD_SHARE
from jobkit.jobs.settings import LogHabit
from jobkit.units.errors import MisuseError

SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|", "space": " "}
"""Separators by the words that say them, since a tab is hard to type."""


class Stated(NamedTuple):
    """What the options of a call say about a log; each is empty where nothing is said."""

    columns: Sequence[str] = ()
    header: str | None = None
    separator: str | None = None
    encoding: str | None = None
    bad_rows: float | None = None


def log_options(stated: Stated, habit: LogHabit, names: Sequence[str]) -> LogOptions:
    """Return how a log is read; the call wins over bench.toml, what neither says is guessed. Raises MisuseError.

    `names` are the columns that may be named.
    """
    encoding, separator = stated.encoding or habit.encoding, stated.separator or habit.separator
    return LogOptions(
        columns={**habit.columns, **_columns(stated.columns, names)},
        header=tuple(stated.header.split(",")) if stated.header else habit.header,
        separator=_separator(separator) if separator else None,
        encoding=_encoding(encoding) if encoding else None,
        bad_share=_share(stated.bad_rows, habit),
    )


def _columns(texts: Sequence[str], names: Sequence[str]) -> Mapping[str, str]:
    found = {}
    for text in texts:
        name, mark, heading = (part.strip() for part in text.partition("="))
        if name not in names or not heading:
            raise MisuseError(
                f'--column cannot be "{text}"', f'write it like "{names[0]}=Lane"; names: {", ".join(names)}'
            )
        found[name] = heading
        del mark
    return found


def _separator(text: str) -> str:
    separator = SEPARATORS.get(text, text)
    if len(separator) != 1:
        raise MisuseError(f'--separator cannot be "{text}"', f"write one letter, or {', '.join(SEPARATORS)}")
    return separator


def _encoding(text: str) -> str:
    try:
        return codecs.lookup(text).name
    except LookupError:
        raise MisuseError(f'unknown encoding "{text}"', "try utf-8, utf-16 or latin-1") from None


def _share(percent: float | None, habit: LogHabit) -> Fraction:
    if percent is None:
        return BAD_SHARE if habit.bad_rows is None else Fraction(habit.bad_rows) / 100
    if not 0 <= percent <= 100:
        raise MisuseError(
            f"--bad-rows cannot be {percent:g}", "give a share of the rows in percent, such as 5"
        )
    return Fraction(percent) / 100
