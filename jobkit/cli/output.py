"""Where an answer goes: to stdout, or whole into a file."""

from __future__ import annotations

from pathlib import Path

from jobkit.cli.streams import answer


def deliver(text: str, output: str | None) -> None:
    """Print an answer, or put it into the file `output`, which is replaced whole or not at all."""
    if output is None or output == "-":
        answer(text)
    else:
        from jobkit.book.disk import write

        write(Path(output), text)
