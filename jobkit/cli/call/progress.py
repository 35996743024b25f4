"""How far a long piece of work is: a bar on stderr, on a terminal only, and only past half a second."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from time import monotonic
from typing import TextIO

_PATIENCE = 0.5
_BETWEEN = 0.1
_WIDE = 24


@contextmanager
def progress_bar(what: str, whole: int) -> Iterator[Callable[[int], None] | None]:
    """Give a function that is told how much of the `whole` is done (0 where that is not known); None off a terminal.

    The bar is gone at the end, whatever the end was.
    """
    if not sys.stderr.isatty():
        yield None
        return
    bar = Bar(what, whole, sys.stderr, monotonic)
    try:
        yield bar.show
    finally:
        bar.clear()


class Bar:
    """A line that is written over and over; `now` tells the time in seconds."""

    def __init__(self, what: str, whole: int, stream: TextIO, now: Callable[[], float]) -> None:
        self._what, self._whole, self._stream, self._now = what, whole, stream, now
        self._due = now() + _PATIENCE
        self._shown = 0

    def show(self, done: int) -> None:
        """Show how much is done, unless it was shown just now."""
        if self._now() < self._due:
            return
        self._due = self._now() + _BETWEEN
        line = f"{self._what}  {self._drawn(done)}"
        self._write(line.ljust(self._shown))
        self._shown = len(line)

    def clear(self) -> None:
        """Take the line away."""
        if self._shown:
            self._write(" " * self._shown)
            self._write("")

    def _drawn(self, done: int) -> str:
        if not self._whole:
            return f"{done / 1e6:.0f} MB"
        share = min(done / self._whole, 1.0)
        full = int(share * _WIDE)
        return f"{'=' * full}{'.' * (_WIDE - full)}  {100 * share:3.0f} %"

    def _write(self, line: str) -> None:
        self._stream.write(f"\r{line}")
        self._stream.flush()
