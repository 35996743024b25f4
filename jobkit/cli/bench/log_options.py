"""What a call and bench.toml say about how a log is read."""

from __future__ import annotations

import codecs
from collections.abc import Mapping, Sequence
from fractions import Fraction

from jobkit.book.logs.columns import LogOptions
from jobkit.book.logs.kept import SEPARATORS, kept_options
from jobkit.jobs.settings import LogHabit
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError


class Stated(NamedTuple):
    """What the options of a call say about a log; each is empty where nothing is said."""

    columns: Sequence[str] = ()
    header: str | None = None
    separator: str | None = None
    encoding: str | None = None
    bad_rows: float | None = None


def log_options(
    stated: Stated, habit: LogHabit, names: Sequence[str], *, is_open: bool = False
) -> LogOptions:
    """Return how a log is read; the call wins over bench.toml, what neither says is guessed. Raises MisuseError.

    `names` are the columns that may be named; a log of sensors has others too, and `is_open`.
    """
    kept = kept_options(habit)
    return kept._replace(
        columns={**kept.columns, **_columns(stated.columns, names, is_open=is_open)},
        header=tuple(stated.header.split(",")) if stated.header else kept.header,
        separator=_separator(stated.separator) if stated.separator else kept.separator,
        encoding=_encoding(stated.encoding) if stated.encoding else kept.encoding,
        bad_share=kept.bad_share if stated.bad_rows is None else _share(stated.bad_rows),
    )


def _columns(texts: Sequence[str], names: Sequence[str], *, is_open: bool) -> Mapping[str, str]:
    found = {}
    for text in texts:
        name, mark, heading = (part.strip() for part in text.partition("="))
        if not (name in names or (is_open and name)) or not mark or not heading:
            known = f"{', '.join(names)}{' and those of sensors' if is_open else ''}"
            raise MisuseError(
                f'--column cannot be "{text}"', f'write it like "{names[0]}=HEADING"; names: {known}'
            )
        found[name] = heading
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


def _share(percent: float) -> Fraction:
    if not 0 <= percent <= 100:
        raise MisuseError(
            f"--bad-rows cannot be {percent:g}", "give a share of the rows in percent, such as 5"
        )
    return Fraction(percent) / 100
