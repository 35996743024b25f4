"""A change that a quick fix makes, and how it is made in a text of which a line is half typed."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress

from lsprotocol.types import TextEdit

from jobkit.book.edit import EditError
from jobkit.book.toml.parse import TomlError
from jobkit.editor.shown.edits import splice
from jobkit.editor.shown.open_file import OpenFile
from jobkit.editor.shown.text import Text
from jobkit.named_tuple import NamedTuple


class Change(NamedTuple):
    """What a fix does, and the function that makes the new text of the old one; it raises EditError or TomlError.

    `path` is the file that it changes, "" for the one that the finding is in.
    """

    title: str
    make: Callable[[str], str]
    path: str = ""


def edit_of(file: OpenFile, change: Change) -> TextEdit | None:
    """Return the edit that a change makes of a file; None where it does not fit the form of its text.

    It is made around what is half typed, and no half-typed line may come into another table by it.
    """
    read = file.readable
    if read.error and not read.blanked:
        return None
    with suppress(EditError, TomlError):
        start, end, new = splice(read.text, change.make(read.text))
        if all(_leaves(file.text, blank, (start, end, new)) for blank in read.blanked):
            return TextEdit(file.text.range(start, end), new)
    return None


def _leaves(text: Text, blank: tuple[int, int], edit: tuple[int, int, str]) -> bool:
    """Tell whether a stretch of a text is left as it is, and in its table, by an edit."""
    (low, high), (start, end, new) = blank, edit
    if high <= start and low < start:
        return True
    if low < end or low < start:
        return False
    after = Text(text.text[:start] + new + text.text[end:])
    return after.section_at(low + len(new) - (end - start)).path == text.section_at(low).path
