"""Which files of a book git is to merge and show by jobkit's ways: lines for .gitattributes or info/attributes."""

from __future__ import annotations

import re

DRIVER = "jobkit"
"""The name under which git knows jobkit's ways of merging and showing."""

PATTERN = f"jobs/**/*.toml merge={DRIVER} diff={DRIVER}"
"""The line for a .gitattributes in the book's own folder."""

_BEGIN, _UNENDED, _END = "# jobkit wire: begin", ", after a line without an end", "# jobkit wire: end\n"
_BLOCK = re.compile(f"(\n?){_BEGIN}({_UNENDED})?\n.*?{_END}", re.DOTALL)
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}


def with_books(text: str, prefixes: list[str]) -> str:
    """Give the text of info/attributes with the lines for these books (folders below the top) and no older ones.

    For no book at all the text is again what it was before jobkit wrote to it.
    """
    # No block ends behind the last mark of an end: so what begins none is not gone through again and again.
    last = text.rfind(_END) + len(_END) if _END in text else 0
    text = _BLOCK.sub(lambda block: "" if block[2] else block[1], text[:last], count=1) + text[last:]
    if not prefixes:
        return text
    unended = bool(text) and not text.endswith("\n")
    lines = [f"{_quoted(prefix)} {PATTERN.partition(' ')[2]}\n" for prefix in prefixes]
    return "".join([text, "\n" * unended, _BEGIN, _UNENDED * unended, "\n", *lines, _END])


def _quoted(prefix: str) -> str:
    """Write the pattern for the jobs below a folder; gitattributes(5): wildcards escaped, then quoted as in C."""
    plain = "".join(f"\\{letter}" if letter in "*?[]\\" else letter for letter in prefix)
    pattern = f"/{plain}{PATTERN.partition(' ')[0]}"
    if not any(letter in ' "\\' or not letter.isprintable() for letter in pattern):
        return pattern
    return '"' + "".join(_ESCAPES.get(letter, letter) for letter in pattern) + '"'
