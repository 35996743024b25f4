"""Read the columns of any log in bounded memory: what was guessed is said, what cannot be read is counted."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import IO

from jobkit.book.logs.dialect import Dialect, find_dialect, stated_separator
from jobkit.book.logs.encoding import SAMPLE, Encoding, find_encoding
from jobkit.book.logs.header import Column, Wanted, alike, match_columns, read_header
from jobkit.book.logs.lines import LONGEST_LINE, Lines, TooLong, numbered_lines
from jobkit.book.logs.split import Batch, RowForm, split_block, split_line
from jobkit.book.logs.trouble import BAD_SHARE, LogTrouble, Skipped, quoted
from jobkit.named_tuple import NamedTuple

_SAMPLE_LINES = 50
_NUMBER = re.compile(r"[+\-−]?[0-9]+([.,:][0-9]+)*")
_NOTHING: Mapping[str, str] = MappingProxyType({})

Progress = Callable[[int], None]
"""Is told how many bytes of the log have been read."""


class LogOptions(NamedTuple):
    """What is stated about a log instead of guessed.

    `columns` gives the log's own names by jobkit's, `units` the units by column, `header` the names of the columns of
    a log that has no header, and `unit` is that of sensors for which nothing else states one. The share of bad rows
    past which a log is refused is `bad_share`.
    """

    columns: Mapping[str, str] = _NOTHING
    units: Mapping[str, str] = _NOTHING
    header: tuple[str, ...] = ()
    encoding: str | None = None
    separator: str | None = None
    decimal: str | None = None
    bad_share: Fraction = BAD_SHARE
    unit: str = ""


ALL_GUESSED = LogOptions()
"""Nothing is stated."""


class _Opened(NamedTuple):
    """What the first bytes of a log tell."""

    encoding: Encoding
    dialect: Dialect
    header: tuple[str, ...]
    line: int
    """The line of the header; 0 where the options give it."""


class Log:
    """A log that is being read. `refusal` and `skipped` are complete once `batches` has run to its end."""

    def __init__(
        self,
        stream: IO[bytes],
        wanted: Iterable[Wanted],
        options: LogOptions = ALL_GUESSED,
        progress: Progress | None = None,
    ) -> None:
        self.columns: tuple[Column, ...] = ()
        """Every column with a name, in the order of the log."""
        self.found: dict[str, Column] = {}
        """The wanted columns by their name in jobkit."""
        self.guesses: list[str] = []
        """What was guessed about the log, in words."""
        self.skipped = Skipped()
        self.rows = 0
        """The rows read so far, those that were skipped too."""
        self._stream, self._options, self._progress = stream, options, progress
        self._head = _first_bytes(stream)
        self._unusable: LogTrouble | None = None
        opened = _open(self._head, options)
        if isinstance(opened, LogTrouble):
            self._unusable = opened
        else:
            self._opened = opened
            self._name_columns(tuple(wanted))

    @property
    def decimal(self) -> str:
        """The mark of its decimals."""
        return "." if self._unusable else self._opened.dialect.decimal

    @property
    def refusal(self) -> LogTrouble | None:
        """Why the log cannot be used; None if it can."""
        if self._unusable:
            return self._unusable
        if not self.rows:
            return LogTrouble(0, "the log has a header and no rows")
        return self.skipped.refusal(self.rows, self._options.bad_share)

    def batches(self) -> Iterator[Batch]:
        """Yield the rows some thousand at a time; none of a log that is refused from the start."""
        for block in self.blocks():
            yield self.split(block)

    def blocks(self) -> Iterator[Lines]:
        """Yield the lines below the header some thousand at a time, for a reader with a quicker way to split them."""
        if self._unusable:
            return
        codec, header = self._opened.encoding.codec, self._opened.line
        for block in numbered_lines(self._head, self._stream, codec, self._progress):
            if isinstance(block, TooLong):
                self._skip_row(block.line, f"the line is longer than {LONGEST_LINE} letters")
                continue
            below = block.below(header)
            if below:
                yield below

    def split(self, block: Lines) -> Batch:
        """Split lines into columns; rows that cannot be split are skipped and counted."""
        batch = split_block(block, self.form, self._skip_row)
        self.rows += len(batch.lines)
        return batch

    @property
    def form(self) -> RowForm:
        """What its rows look like; raises AttributeError for a log that is refused from the start."""
        least = 1 + max(column.place for column in self.columns)
        return RowForm(self._opened.dialect.separator, self._opened.header, least)

    def skip(self, line: int, message: str) -> None:
        """Count a row as bad that had the right number of cells."""
        self.skipped.add(line, message)

    def _skip_row(self, line: int, message: str) -> None:
        self.rows += 1
        self.skipped.add(line, message)

    def _name_columns(self, wanted: tuple[Wanted, ...]) -> None:
        opened, options = self._opened, self._options
        self.columns = read_header(list(opened.header), options.units)
        found = match_columns(self.columns, wanted, options.columns, opened.line)
        if isinstance(found, LogTrouble):
            self._unusable = found
            return
        self.found = found
        self.guesses += [opened.encoding.guess] if opened.encoding.guess else []
        self.guesses += opened.dialect.guesses
        self.guesses += [
            f"column {quoted(column.name)} is {name}"
            for name, column in found.items()
            if name not in options.columns and alike(column.name) != alike(name)
        ]


def _first_bytes(stream: IO[bytes]) -> bytes:
    """Read the bytes that are looked at first; a pipe may give them in pieces."""
    head = b""
    while len(head) < SAMPLE and (piece := stream.read(SAMPLE - len(head))):
        head += piece
    return head


def _open(head: bytes, options: LogOptions) -> _Opened | LogTrouble:
    if not head.strip():
        return LogTrouble(0, "the log is empty")
    try:
        encoding = find_encoding(head, options.encoding)
    except LookupError:
        return LogTrouble(
            0, f"unknown encoding {quoted(options.encoding or '')}", "try utf-8, utf-16 or latin-1"
        )
    if encoding is None:
        return LogTrouble(0, "the log is not a text file", "export it as CSV")
    lines = _sample(head, encoding)
    start = _header_line(lines)
    if start is None:
        return LogTrouble(0, "the log has no header", "put the names of the columns in its first line")
    stated = options.separator or next(filter(None, map(stated_separator, lines[:start])), None)
    dialect = find_dialect(lines[start:], stated, options.decimal)
    if options.header:
        return _Opened(encoding, dialect, options.header, start)
    return _with_header(encoding, dialect, lines, start)


def _with_header(encoding: Encoding, dialect: Dialect, lines: list[str], start: int) -> _Opened | LogTrouble:
    header = split_line(lines[start], dialect.separator)
    if header is None:
        return LogTrouble(start + 1, "a quotation mark in the header is not closed")
    if all(_NUMBER.fullmatch(cell) for cell in header if cell):
        return LogTrouble(
            start + 1, "the log begins with numbers, not with the names of its columns", "name its columns"
        )
    return _Opened(encoding, dialect, tuple(header), start + 1)


def _sample(head: bytes, encoding: Encoding) -> list[str]:
    text = head.decode(encoding.codec, "replace")
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    # The last line may be cut in the middle.
    return lines[: -1 if len(head) == SAMPLE and len(lines) > 1 else None][:_SAMPLE_LINES]


def _header_line(lines: list[str]) -> int | None:
    """Find the first line that is neither blank, nor a remark behind `#`, nor a statement of the separator."""
    for number, line in enumerate(lines):
        if line.strip() and not line.startswith("#") and not stated_separator(line):
            return number
    return None
