"""What goes to the terminal, whatever letters it can show."""

from __future__ import annotations

import codecs
import io
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import BinaryIO, NoReturn, TextIO

from jobkit.units.errors import MisuseError, in_lines

SPELLED_OUT = "spelled-out"
"""What to do about letters that an encoding lacks, as streams and `str.encode` are told."""

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
_HANGING = "    "


def _spelled_out(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    letters = error.object[error.start : error.end]
    return "".join(_PLAIN.get(letter, "?") for letter in letters), error.end


codecs.register_error(SPELLED_OUT, _spelled_out)


def open_closed() -> None:
    """Let what is said to a stream that was closed from the start (`>&-`) go nowhere, instead of failing."""
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115, PTH123 - open to the end


def replace_unencodable(*streams: TextIO) -> None:
    """Make streams spell out what their encoding lacks ("ohm" for "Ω") instead of failing."""
    for stream in streams:
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=SPELLED_OUT)


def say(line: str) -> None:
    """Tell the person something that is not the answer."""
    print(folded(in_lines(line), sys.stderr), file=sys.stderr)  # noqa: T201 - the one place that speaks


def folded(text: str, stream: TextIO) -> str:
    """Break long lines between words where they go to a terminal; elsewhere a line stays one line."""
    columns = _columns(stream) if stream.isatty() else 0
    if not columns or all(len(line) <= columns for line in text.split("\n")):
        return text
    # Loaded only here: most calls say nothing that long.
    from textwrap import fill

    return "\n".join(
        fill(
            line,
            columns,
            subsequent_indent=line[: len(line) - len(line.lstrip())] or _HANGING,
            break_long_words=False,
            break_on_hyphens=False,
        )
        for line in text.split("\n")
    )


@contextmanager
def protocol_alone() -> Iterator[tuple[BinaryIO, BinaryIO]]:
    """Keep stdin and stdout for a protocol: whatever else is printed meanwhile goes to stderr."""
    with open(os.dup(sys.stdout.fileno()), "wb") as output:  # noqa: PTH123 - a stream, not a file
        spoken, sys.stdout = sys.stdout, sys.stderr
        try:
            yield sys.stdin.buffer, output
        finally:
            sys.stdout = spoken


def answer(text: str) -> None:
    """Give the answer; raises MisuseError where there is no room for it."""
    with _unwritten():
        sys.stdout.write(text)


def answer_in_utf_8(text: str) -> None:
    """Give an answer that is data in UTF-8, whatever the encoding of the stream is."""
    bytes_below = getattr(sys.stdout, "buffer", None)
    if bytes_below is None:
        answer(text)
        return
    with _unwritten():
        sys.stdout.flush()
        bytes_below.write(text.encode("utf-8", SPELLED_OUT))


def finish() -> None:
    """Bring out what has been answered; raises MisuseError where there is no room for it."""
    with _unwritten():
        sys.stdout.flush()


@contextmanager
def _unwritten() -> Iterator[None]:
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as fault:
        reason = (fault.strerror or str(fault)).lower()
        raise MisuseError(
            f"the answer cannot be written: {reason}", "check the output file or pipe"
        ) from fault


def encodable(text: str, encoding: str) -> str:
    """Escape JSON where the encoding lacks a letter of it: spelled out, as in a page, it would be other data."""
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        # Loaded here: it is rare that a terminal or an odd file name needs it.
        import json
        import re

        return re.sub(r"[^\x00-\x7f]+", lambda found: json.dumps(found[0])[1:-1], text)
    return text


def colourful(choice: str) -> bool:
    """Decide whether to colour: always, never, or (auto) on a terminal that has not asked for none.

    Raises MisuseError for any other choice.
    """
    choice = choice.casefold()
    if choice not in {"auto", "always", "never"}:
        raise MisuseError(f'--color cannot be "{choice}"', "choose auto, always or never")
    if choice != "auto":
        return choice == "always"
    return sys.stdout.isatty() and os.environ.get("TERM") != "dumb" and not os.environ.get("NO_COLOR")


def width() -> int:
    """Tell how many columns there are: those of COLUMNS, else of the terminal, else 100."""
    return _columns(sys.stdout) or 100


def _columns(stream: TextIO) -> int:
    """Tell how many columns COLUMNS or the terminal has; 0 where neither says."""
    try:
        columns = int(os.environ.get("COLUMNS", ""))
    except ValueError:
        columns = 0
    if columns <= 0 and stream.isatty():
        columns = os.get_terminal_size(stream.fileno()).columns
    return max(columns, 0)


def exit_now(status: int) -> NoReturn:
    """End the process with a status, at once: taking apart piece by piece what it had loaded helps nobody."""
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError):
            stream.flush()
    os._exit(status)
