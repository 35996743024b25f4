"""Where an answer goes: to stdout, or whole into a file."""

from __future__ import annotations

import sys

from jobkit.cli.call.streams import SPELLED_OUT, answer, answer_in_utf_8, encodable

_OF_JSON = frozenset(("json", "sarif"))
_UTF_8 = frozenset(("csv", "ics", "po", "ubl"))
"""Data that cannot spell a letter in another way: UTF-8 whatever the terminal's encoding is."""


def deliver(text: str, output: str | None, form: str) -> None:
    """Print an answer, or put it into the file `output`, which is replaced whole or not at all."""
    if (output is None or output == "-") and form in _UTF_8:
        answer_in_utf_8(text)
    elif output is None or output == "-":
        answer(encodable(text, sys.stdout.encoding or "utf-8") if form in _OF_JSON else text)
    else:
        from jobkit.book.disk.writing import write_named

        # A file name may hold bytes that are not UTF-8.
        whole = encodable(text, "utf-8") if form in _OF_JSON else text
        write_named(output, whole.encode("utf-8", SPELLED_OUT))
