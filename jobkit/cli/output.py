"""Where an answer goes: to stdout, or whole into a file."""

from __future__ import annotations

from pathlib import Path

from jobkit.cli.streams import answer, in_ascii

_OF_JSON = frozenset(("json", "sarif"))


def deliver(text: str, output: str | None, form: str) -> None:
    """Print an answer, or put it into the file `output`, which is replaced whole or not at all."""
    if output is None or output == "-":
        answer(in_ascii(text) if form in _OF_JSON else text)
    else:
        from jobkit.book.disk import write

        write(Path(output), text)
