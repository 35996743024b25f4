"""What is wrong in a log: the line, and what to do about it."""

from __future__ import annotations

import re
from fractions import Fraction

from jobkit.named_tuple import NamedTuple

BAD_SHARE = Fraction(1, 20)
"""A log is refused if more than this share of its rows cannot be read, unless the options say another share."""

_EXAMPLES = 5
_OPTION = re.compile(r'--(column|unit) "?([^"=]+)=([^"\s]+)"?')


class LogTrouble(NamedTuple):
    """One thing that is wrong in a log. `line` counts from 1; 0 means the log as a whole."""

    line: int
    message: str
    fix: str = ""

    def words(self) -> str:
        """Return the trouble as one line of text.

        >>> LogTrouble(7, 'written is "A5G5", which is not a hexadecimal word').words()
        'line 7: written is "A5G5", which is not a hexadecimal word'
        """
        text = f"{self.message}; {self.fix}" if self.fix else self.message
        return f"line {self.line}: {text}" if self.line else text

    def in_book(self, kind: str) -> str:
        """Return the trouble of a log that an entry names: bench.toml says how logs of its `kind` are read, no option.

        >>> LogTrouble(0, "no time", "state which column is time: --column time=HEADING").in_book("heat")
        'no time; state which column is time: columns = { "time" = "HEADING" } under [logs.heat] in bench.toml'
        """
        return _OPTION.sub(rf'\1s = {{ "\2" = "\3" }} under [logs.{kind}] in bench.toml', self.words())


class Skipped:
    """The rows that could not be read: how many of how many, and the first few with their lines."""

    def __init__(self) -> None:
        self.count = 0
        self.examples: list[LogTrouble] = []

    def add(self, line: int, message: str) -> None:
        """Count one bad row."""
        self.count += 1
        if len(self.examples) < _EXAMPLES:
            self.examples.append(LogTrouble(line, message))

    def refusal(self, rows: int, share: Fraction) -> LogTrouble | None:
        """Return why a log of so many `rows`, the bad ones among them, is refused; None if it is not."""
        if not self.count or Fraction(self.count, rows) <= share:
            return None
        first = self.examples[0]
        return LogTrouble(
            first.line,
            f"{self.count} of {rows} rows cannot be read, more than {percent(share)}: {first.message}",
            "check the separator, the decimal mark and the columns, or allow a larger share of bad rows",
        )


def percent(share: Fraction) -> str:
    """Write a share in percent.

    >>> percent(Fraction(1, 20)), percent(Fraction(1, 3))
    ('5 %', '33.3 %')
    """
    return f"{float(share * 100):.3g} %"


def quoted(text: str) -> str:
    """Put a text of a log between quotes, cut short if it is long.

    >>> quoted("x" * 50)
    '"xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx…"'
    """
    shown = "".join(letter if letter.isprintable() else repr(letter)[1:-1] for letter in text)
    return f'"{shown}"' if len(shown) <= 40 else f'"{shown[:39]}…"'
