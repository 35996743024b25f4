"""Read the error log of a memory test: channel, word written, word read, and how often, where the log counts."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import cache
from itertools import chain
from typing import IO

from jobkit.book.logs.columns import ALL_GUESSED, Log, LogOptions, Progress
from jobkit.book.logs.header import Wanted
from jobkit.book.logs.lines import Lines
from jobkit.book.logs.trouble import LogTrouble, quoted
from jobkit.book.logs.word_rows import MOST_TIMES, WordForm, WordRows
from jobkit.named_tuple import NamedTuple

WANTED = (
    Wanted("channel", ("ch", "chan", "lane")),
    Wanted("written", ("write", "expected", "data written")),
    Wanted("read", ("got", "actual", "data read")),
    Wanted("times", ("count", "repeats"), needed=False),
)
"""The columns of a memory log, and general words under which programs write them."""

MOST_CHANNELS = 1024
"""A log with more channels than this has something else in its channel column, such as an address."""

MOST_DIGITS = 64
"""The longest word is one of 256 bits: what a test writes at once is not longer."""

LARGE = 1 << 22
"""Letters of a log from which on it is worth it to load numpy."""

_HEX = re.compile("[0-9a-fA-F]+")
_PREFIXES = ("0x", "0X")


class _Row(NamedTuple):
    """The cells of one row."""

    channel: str
    written: str
    read: str
    times: str


class MemoryLog:
    """A memory log that is being read. `digits` is the width of its words in hexadecimal digits; 0 if not known yet.

    If the width is not stated, the first row whose words are hexadecimal and equally long tells it.
    """

    def __init__(
        self,
        stream: IO[bytes],
        options: LogOptions = ALL_GUESSED,
        digits: int = 0,
        progress: Progress | None = None,
    ) -> None:
        self.log = Log(stream, WANTED, options, progress)
        self.digits = digits
        self._stated = bool(digits)
        self._channels: set[str] = set()
        self._uneven = self._longest = 0
        self._regular = [self.log.found[name].place for name in self.log.found] == list(
            range(len(self.log.columns))
        )

    @property
    def refusal(self) -> LogTrouble | None:
        """Why the log cannot be used; complete once it has been read."""
        if len(self._channels) > MOST_CHANNELS:
            column = quoted(self.log.found["channel"].name)
            return LogTrouble(
                0, f"column {column} names more than {MOST_CHANNELS} channels", "check the columns"
            )
        refusal = self.log.refusal
        if refusal and 2 * self._uneven > self.log.skipped.count:
            return refusal._replace(fix=_width_words(self._longest))
        return refusal

    def rows(self) -> Iterator[WordRows]:
        """Yield the rows by channel, some thousand at a time; rows that cannot be read are skipped and counted."""
        letters = 0
        for block in self.log.blocks():
            at_once = self.rows_from_arrays if letters > LARGE else self.rows_at_once
            found = at_once(block) or self.rows_one_by_one(block)
            letters += len(block.text)
            self._channels.update(rows.channel for rows in found)
            if len(self._channels) > MOST_CHANNELS:
                return
            yield from found

    def rows_one_by_one(self, block: Lines) -> list[WordRows]:
        """Return the rows of a block by channel: the plain way."""
        batch = self.log.split(block)
        absent = ["1"] * len(batch.lines)
        columns = [
            batch.cells[self.log.found[one.name].place] if one.name in self.log.found else absent
            for one in WANTED
        ]
        rows: dict[str, list[_Row]] = {}
        for line, *cells in zip(batch.lines, *columns, strict=True):
            row = self._cleaned(_Row(*cells))
            wrong = self._wrong(row)
            if wrong:
                self._note_uneven(row)
                self.log.skip(line, wrong)
            else:
                rows.setdefault(row.channel, []).append(row)
        return [_together(channel, mine) for channel, mine in rows.items()]

    def rows_at_once(self, block: Lines) -> list[WordRows]:
        """Return the rows of a block by channel: the quick way; nothing if one of them needs a closer look."""
        form, text = self.log.form, block.text
        if not self._may_be_regular(text):
            return []
        rests: dict[str, list[str]] = {}
        for line in text.split("\n"):
            channel, _, rest = line.partition(form.separator)
            try:
                rests[channel].append(rest)
            except KeyError:
                rests[channel] = [rest]
        found = [self._words(channel, mine, form.separator) for channel, mine in rests.items()]
        good = [rows for rows in found if rows and rows.channel]
        if len(good) < len(found):
            return []
        self.log.rows += sum(map(len, rests.values()))
        return good

    def rows_from_arrays(self, block: Lines) -> list[WordRows]:
        """Return what `rows_at_once` does, quicker where numpy is installed."""
        split = _array_splitter()
        if split is None or not self._may_be_regular(block.text):
            return self.rows_at_once(block)
        form = WordForm(self.log.form.separator, self.digits, "times" in self.log.found)
        found = split(block.text, form)
        self.log.rows += sum(1 + rows.words.count("\n") for rows in found) // 2
        return found

    def _may_be_regular(self, text: str) -> bool:
        """Whether all lines of a text may be words in the order of the wanted columns, with nothing around them."""
        return self._regular and bool(self.digits) and '"' not in text and " " not in text

    def _words(self, channel: str, rests: list[str], separator: str) -> WordRows | None:
        """Return rows without their channels as words; None if one of them needs a closer look."""
        prefix = rests[0][:2] if rests[0][:2] in _PREFIXES else ""
        digits = self.digits + len(prefix)
        times = None
        text = "\n".join(rests)
        if "times" in self.log.found:
            once = f"{separator}1\n"
            if text.count(once) + text.endswith(once[:-1]) == len(rests):
                text = f"{text}\n".replace(once, "\n")[:-1]
            else:
                text, times = _split_times(rests, 2 * digits + 1, separator)
        words = text.replace(separator, "\n")
        if times == [] or not (_are_equally_long(text, 2 * digits + 1) and _are_equally_long(words, digits)):
            return None
        if prefix:
            words = f"\n{words}".replace(f"\n{prefix}", "\n")[1:]
        if not _are_equally_long(words, self.digits) or not _HEX.fullmatch(words.replace("\n", "")):
            return None
        return WordRows(channel, words, times)

    def _cleaned(self, row: _Row) -> _Row:
        """Return a row without prefixes, and with the leading zeros that the stated width asks for."""
        written, read = (word[2:] if word[:2] in _PREFIXES else word for word in (row.written, row.read))
        if self._stated:
            written, read = written.zfill(self.digits), read.zfill(self.digits)
        elif not self.digits and len(written) == len(read) <= MOST_DIGITS and _HEX.fullmatch(written + read):
            self.digits = len(written)
        return row._replace(written=written, read=read)

    def _note_uneven(self, row: _Row) -> None:
        """Count a bad row whose words are hexadecimal and differ from the others in their length alone."""
        longest = max(len(row.written), len(row.read))
        if not self._stated and _HEX.fullmatch(row.written + row.read) and longest <= MOST_DIGITS:
            self._uneven += 1
            self._longest = max(self._longest, longest)

    def _wrong(self, row: _Row) -> str:
        """Return what is wrong with a row; "" if nothing is."""
        if not row.channel:
            return "no channel is named"
        wrong = self._wrong_word("written", row.written) or self._wrong_word("read", row.read)
        if wrong:
            return wrong
        if not self.digits:
            return f"written has {_digits(len(row.written))} and read {len(row.read)}"
        if not _count(row.times):
            return f"times is {quoted(row.times)}, which is not a count from 1 to {MOST_TIMES}"
        return ""

    def _wrong_word(self, name: str, word: str) -> str:
        """Return what is wrong with a word; while no row has told the width, any length is right."""
        if not _HEX.fullmatch(word):
            return f"{name} is {quoted(word)}, which is not a hexadecimal word"
        if len(word) > MOST_DIGITS:
            return f"{name} has {len(word)} hexadecimal digits, more than {MOST_DIGITS}"
        if self.digits and len(word) != self.digits:
            return f"{name} has {_digits(len(word))} where the words of this log have {self.digits}"
        return ""


@cache
def _array_splitter() -> Callable[[str, WordForm], list[WordRows]] | None:
    """Load what splits rows with numpy; None where that is not installed."""
    try:
        from jobkit.book.logs.word_arrays import rows_from_arrays  # noqa: PLC0415 - loaded for large logs alone
    except ImportError:
        return None
    return rows_from_arrays


def _together(channel: str, rows: list[_Row]) -> WordRows:
    words = "\n".join(chain.from_iterable((row.written, row.read) for row in rows))
    return WordRows(channel, words, [int(row.times) for row in rows])


def _split_times(rests: list[str], length: int, separator: str) -> tuple[str, list[int]]:
    """Split rows behind so many letters of words; return the words, and the counts, none if one is not a count."""
    ends = [rest[length:] for rest in rests]
    counts = {end: _count(end[1:]) if end[:1] == separator else 0 for end in set(ends)}
    times = [] if 0 in counts.values() else [counts[end] for end in ends]
    return "\n".join([rest[:length] for rest in rests]), times


def _are_equally_long(lines: str, length: int) -> bool:
    """Whether all lines of a text have so many letters."""
    feeds = lines.count("\n")
    return len(lines) == (length + 1) * (feeds + 1) - 1 and lines[length :: length + 1] == "\n" * feeds


def _count(text: str) -> int:
    """Return a count from 1 to the most; 0 if the text is not one.

    >>> _count("12"), _count("0"), _count("1.5")
    (12, 0, 0)
    """
    if not (text.isascii() and text.isdecimal()) or len(text) > len(str(MOST_TIMES)):
        return 0
    count = int(text)
    return count if count <= MOST_TIMES else 0


def _width_words(longest: int) -> str:
    """Say how the width of a log is stated that leaves out leading zeros."""
    bits = 4 * longest
    return (
        f"if the log leaves out leading zeros, give the bits of a word: `--width {bits}`, "
        f"or `width = {bits}` under [logs.memory] in bench.toml"
    )


def _digits(count: int) -> str:
    return "1 hexadecimal digit" if count == 1 else f"{count} hexadecimal digits"
