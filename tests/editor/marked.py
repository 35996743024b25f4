"""Texts with a mark "‸" where the cursor is."""

from __future__ import annotations

from lsprotocol.types import Position, TextEdit

from jobkit.editor.shown.text import Text

MARK = "‸"


def marked(text: str) -> tuple[str, Position]:
    """Take the mark out of a text, and tell where it was."""
    at = text.index(MARK)
    plain = text.replace(MARK, "")
    return plain, Text(plain).position(at)


def edited(text: str, *edits: TextEdit) -> str:
    """Return a text after edits, as an editor applies them: the last place first."""
    index = Text(text)
    for edit in sorted(
        edits, key=lambda one: (one.range.start.line, one.range.start.character), reverse=True
    ):
        start, end = index.offset(edit.range.start), index.offset(edit.range.end)
        text = text[:start] + edit.new_text + text[end:]
    return text
