"""Questions and answers: a line at a time, at a terminal or from a pipe.

Questions go to stderr, and only at a terminal; what was written goes to stdout.
"""

from __future__ import annotations

import io
import sys

from jobkit.cli.call.streams import say

_YES = frozenset(("y", "yes"))
_NO = frozenset(("n", "no"))


def at_terminal() -> bool:
    """Tell whether the answers are typed."""
    return sys.stdin.isatty()


def ask(question: str) -> str | None:
    """Ask, and return the answer without spaces around it; None where the input has ended.

    Empty lines from a pipe are no answers: meters send them between values.
    """
    while True:
        if at_terminal():
            sys.stderr.write(question)
            sys.stderr.flush()
        line = next_line()
        if not line:
            if at_terminal():
                sys.stderr.write("\n")
            return None
        if line.strip() or at_terminal():
            return line.strip()


def agreed(question: str, *, enter: bool = True) -> bool | None:
    """Ask for a yes or a no, again until it is one of them; `enter` is what Enter means. None: the input has ended."""
    while (typed := ask(question)) is not None:
        if not typed:
            return enter
        if typed.casefold() in _YES | _NO:
            return typed.casefold() in _YES
        say(f'jobkit: "{typed}" is not an answer; type Enter, y or n')
    return None


def next_line() -> str:
    """Read a line, "" where the input has ended; what a meter sends may hold bytes that are no letters."""
    if isinstance(sys.stdin, io.TextIOWrapper):
        line: bytes = sys.stdin.buffer.readline()
        return line.decode(sys.stdin.encoding, "replace")
    return sys.stdin.readline()
