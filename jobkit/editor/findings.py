"""Findings of one file as an editor shows them: lint's own, over the text that is not saved yet."""

from __future__ import annotations

from collections.abc import Iterator

from lsprotocol.types import CodeDescription, Diagnostic, DiagnosticSeverity, Range

from jobkit.book.read.clients import clients_file
from jobkit.book.shelf.overlay import Overlay
from jobkit.editor.rule_page import rule_page_uri
from jobkit.editor.shown.open_book import BookInEditor
from jobkit.editor.shown.open_file import OpenFile
from jobkit.jobs.finding import Finding
from jobkit.lint.run.partial import lint_few
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import in_one_line

_SEVERITY = {
    "error": DiagnosticSeverity.Error,
    "warning": DiagnosticSeverity.Warning,
    "note": DiagnosticSeverity.Information,
}


class Shown(NamedTuple):
    """A finding, and where an editor underlines it."""

    finding: Finding
    range: Range


def findings_of(file: OpenFile, book: BookInEditor) -> list[Shown]:
    """Check one open file in the light of its book; raises MisuseError."""
    opened = book.book_in_git()
    if file.kind == "clients" and isinstance(opened.shelf, Overlay):
        clients = clients_file(opened.shelf)
        opened = opened._replace(own=(*opened.own, clients)) if clients else opened
    jobs = [file.path] if file.kind == "job" else []
    found = lint_few(opened, file.path.__eq__, jobs, book.jobs_of_board).findings
    return [Shown(one, range_of(one, file)) for one in (*_half_typed(file), *_of_the_rest(file, found))]


def diagnostic(shown: Shown) -> Diagnostic:
    """Say a finding as the protocol has it, with its rule page a click away."""
    finding = shown.finding
    uri = rule_page_uri(finding.rule)
    return Diagnostic(
        range=shown.range,
        message="\n".join(in_one_line(line) for line in (finding.message, finding.mend) if line),
        severity=_SEVERITY[finding.level],
        code=finding.rule,
        code_description=CodeDescription(uri) if uri else None,
        source="jobkit",
    )


def range_of(finding: Finding, file: OpenFile) -> Range:
    """Return the stretch to underline: what the finding is about where the text has it, else the rest of its line."""
    text = file.text
    start = text.found_at(finding.line, finding.column)
    span = text.outline.spans.get(finding.place)
    end = text.line_end(start)
    if span and span.form == "value" and span.key_start == start:
        end = min(end, span.end)
    return text.range(start, max(end, start))


def _half_typed(file: OpenFile) -> Iterator[Finding]:
    error = file.readable.error
    if error:
        yield Finding(
            "schema", "error", file.path, (), "", "", error.what, error.mend, error.line, error.column
        )


def _of_the_rest(file: OpenFile, found: tuple[Finding, ...]) -> Iterator[Finding]:
    """Yield the findings that no half-typed line has a part in: not those of its section, nor of the whole file."""
    if not file.readable.error:
        yield from found
        return
    if not file.readable.blanked:
        return
    sections = file.text.outline.sections
    touched = [
        (section.start, after.start if after else len(file.text.text))
        for section, after in zip(sections, [*sections[1:], None], strict=True)
        if any(
            section.start <= end and start < (after.start if after else end + 1)
            for start, end in file.readable.blanked
        )
    ]
    for one in found:
        at = file.text.found_at(one.line, one.column)
        if one.place and not any(start <= at < end for start, end in touched):
            yield one
