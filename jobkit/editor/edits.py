"""A change of a text as the least edit that an editor has to make."""

from __future__ import annotations

from lsprotocol.types import (
    OptionalVersionedTextDocumentIdentifier,
    TextDocumentEdit,
    TextEdit,
    WorkspaceEdit,
)

from jobkit.editor.open_file import OpenFile
from jobkit.editor.text import Text


def edit_to(text: Text, new: str) -> TextEdit:
    """Return the edit that makes `new` of a text: what both begin and end with stays."""
    old = text.text
    least = min(len(old), len(new))
    start = next((at for at in range(least) if old[at] != new[at]), least)
    most, end = least - start, 0
    while end < most and old[-1 - end] == new[-1 - end]:
        end += 1
    return TextEdit(text.range(start, len(old) - end), new[start : len(new) - end])


def in_file(file: OpenFile, *edits: TextEdit) -> WorkspaceEdit:
    """Return edits of one open file, which the editor refuses where it has a newer version of it."""
    document = OptionalVersionedTextDocumentIdentifier(file.place.as_uri(), file.version)
    return WorkspaceEdit(document_changes=[TextDocumentEdit(document, list(edits))])
