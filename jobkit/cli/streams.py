"""What goes to the terminal, whatever letters it can show."""

from __future__ import annotations

import codecs
import io
import os
import sys
from contextlib import suppress
from typing import NoReturn, TextIO

_PLAIN = {
    "Ω": "ohm",
    "µ": "u",
    "μ": "u",
    "°": "deg",
    "≥": ">=",
    "≤": "<=",
    "±": "+/-",
    "−": "-",
    "–": "-",
    "…": "...",
    "²": "2",
    "×": "x",
}


def _spelled_out(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    letters = error.object[error.start : error.end]
    return "".join(_PLAIN.get(letter, "?") for letter in letters), error.end


codecs.register_error("spelled-out", _spelled_out)


def forgiving(*streams: TextIO) -> None:
    """Make streams spell out what their encoding lacks ("ohm" for "Ω") instead of failing."""
    for stream in streams:
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="spelled-out")


def say(line: str) -> None:
    """Tell the person something that is not the answer."""
    print(line, file=sys.stderr)  # noqa: T201 - the one place that speaks


def answer(text: str) -> None:
    """Give the answer."""
    sys.stdout.write(text)


def colourful(choice: str) -> bool:
    """Decide whether to colour: always, never, or (auto) on a terminal that has not asked for none."""
    if choice != "auto":
        return choice == "always"
    return sys.stdout.isatty() and os.environ.get("TERM") != "dumb" and not os.environ.get("NO_COLOR")


def width() -> int:
    """Tell how many columns there are: those of the terminal, else of COLUMNS, else 100."""
    try:
        columns = int(os.environ.get("COLUMNS", ""))
    except ValueError:
        columns = 0
    if columns <= 0 and sys.stdout.isatty():
        columns = os.get_terminal_size(sys.stdout.fileno()).columns
    return columns if columns > 0 else 100


def leave(status: int) -> NoReturn:
    """End the process with a status, at once: taking apart piece by piece what it had loaded helps nobody."""
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError):
            stream.flush()
    os._exit(status)
