"""The quick fixes of a stretch of a file, each as the edit that makes it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lsprotocol.types import CodeAction, CodeActionKind, Diagnostic, Range, TextEdit

from jobkit.editor.findings import Shown, diagnostic
from jobkit.editor.fix.change import Change, edit_of
from jobkit.editor.fix.elsewhere import elsewhere
from jobkit.editor.fix.to_accept import to_accept
from jobkit.editor.fix.to_add import all_to_add, to_add
from jobkit.editor.fix.to_quote import number_to_quote, to_quote
from jobkit.editor.fix.to_remove import to_remove
from jobkit.editor.fix.to_write import to_write
from jobkit.editor.names.places import file_of
from jobkit.editor.shown.edits import in_file
from jobkit.editor.shown.open_book import BookInEditor, Writer
from jobkit.editor.shown.open_file import OpenFile
from jobkit.jobs.finding import Finding
from jobkit.units.errors import in_one_line


def fixes(file: OpenFile, book: BookInEditor, shown: Sequence[Shown], where: Range) -> list[CodeAction]:
    """Return the fixes of the findings that a stretch of an open file touches; raises MisuseError."""
    writer = book.writer()
    on_the_line = [one for one in shown if _touch(one.range, where)]
    about_the_entry = [one for one in shown if one not in on_the_line and _touch(_entry(file, one), where)]
    touched = [*on_the_line, *about_the_entry]
    actions = [action for one in touched for action in _actions(file, book, one, writer)]
    together = all_to_add(file, [one.finding for one in touched], writer.now)
    if together:
        actions[:0] = _made(file, book, together, [diagnostic(one) for one in touched])
    return actions


def _touch(one: Range, other: Range) -> bool:
    return one.start.line <= other.end.line and other.start.line <= one.end.line


def _entry(file: OpenFile, shown: Shown) -> Range:
    """Return the lines of the table that a finding is about, where it is about a whole one, or what that lacks."""
    place = shown.finding.place
    while place and place not in file.text.outline.spans:
        place = place[:-1]
    section = next((one for one in file.text.outline.sections if one.path == place), None)
    return file.text.range(section.start, max(section.start, section.end - 1)) if section else shown.range


def _actions(file: OpenFile, book: BookInEditor, shown: Shown, writer: Writer) -> Iterator[CodeAction]:
    """Yield the fixes of one finding; the only one that does what the finding says to write is the preferred one."""
    about = [diagnostic(shown)]
    fixed = [_action(title, file, edit, about) for title, edit in to_quote(file, shown.finding)]
    for change in _changes(file, shown.finding, writer):
        fixed += _made(file, book, change, about)
    if len(fixed) == 1 and shown.finding.mend.startswith("write "):
        fixed[0].is_preferred = True
    yield from fixed
    if file.kind == "job":
        for change in to_accept(shown.finding, writer):
            yield from _made(file, book, change, about)


def _changes(file: OpenFile, finding: Finding, writer: Writer) -> Iterator[Change]:
    yield from to_write(file, finding)
    yield from number_to_quote(file, finding)
    yield from to_add(file, finding, writer.now)
    yield from to_remove(finding)
    yield from elsewhere(finding)


def _made(file: OpenFile, book: BookInEditor, change: Change, about: list[Diagnostic]) -> list[CodeAction]:
    """Return the action of a change; none where the text has a form that no edit of ours fits into."""
    other = file_of(book, change.path) if change.path else file
    edit = edit_of(other, change) if other else None
    return [_action(change.title, other, edit, about)] if other and edit else []


def _action(title: str, file: OpenFile, edit: TextEdit, about: list[Diagnostic]) -> CodeAction:
    kind, made = CodeActionKind.QuickFix, in_file(file, edit)
    return CodeAction(title=in_one_line(title), kind=kind, diagnostics=about, edit=made)
