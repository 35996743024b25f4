"""A change of a text as the least edit that an editor has to make."""

from __future__ import annotations

from lsprotocol.types import (
    OptionalVersionedTextDocumentIdentifier,
    TextDocumentEdit,
    TextEdit,
    WorkspaceEdit,
)

from jobkit.editor.shown.open_file import OpenFile


def splice(old: str, new: str) -> tuple[int, int, str]:
    """Return the offsets in an old text, and what comes between them in the new one: all else they have in common."""
    least = min(len(old), len(new))
    start = next((at for at in range(least) if old[at] != new[at]), least)
    start -= old[start - 1 : start + 1] == "\r\n"  # between the two an editor has no place
    most, end = least - start, 0
    while end < most and old[-1 - end] == new[-1 - end]:
        end += 1
    last = len(old) - end
    if old[last - 1 : last + 1] == "\r\n":
        end -= 1
    return start, len(old) - end, new[start : len(new) - end]


def in_file(file: OpenFile, *edits: TextEdit) -> WorkspaceEdit:
    """Return edits of one open file, which the editor refuses where it has a newer version of it."""
    document = OptionalVersionedTextDocumentIdentifier(file.place.as_uri(), file.version)
    return WorkspaceEdit(document_changes=[TextDocumentEdit(document, list(edits))])
