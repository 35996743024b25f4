"""Where a finding stands: line and column for a place in a file, and the place for a stretch of its text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from jobkit.book.schema.trouble import Trouble
from jobkit.book.toml.outline import outline
from jobkit.book.toml.parse import TomlError, decode
from jobkit.book.toml.positions import locate, positions
from jobkit.jobs.finding import Finding, Place
from jobkit.lint.registry import SCHEMA, TEXT_CHECKS, FoundAt, Rule


def located(findings: list[Finding], content: bytes) -> list[Finding]:
    """Give each finding its line and column; the text is indexed only where there is something to look up."""
    if all(finding.line for finding in findings):
        return findings
    index = positions(decode(content))
    return [finding if finding.line else _at(finding, locate(index, finding.place)) for finding in findings]


def _at(finding: Finding, position: tuple[int, int]) -> Finding:
    return finding._replace(line=position[0], column=position[1])


def of_troubles(path: str, job_id: str, troubles: Iterable[Trouble]) -> list[Finding]:
    """Say what could not be read of a file, as findings."""
    return [
        Finding(
            SCHEMA.name,
            SCHEMA.level,
            path,
            trouble.place,
            trouble.about,
            job_id,
            trouble.message,
            trouble.mend,
            trouble.line,
            trouble.column,
        )
        for trouble in troubles
    ]


def of_text(path: str, job_id: str, content: bytes) -> list[Finding]:
    """Run the rules about text over a file; one that is no UTF-8 has none."""
    try:
        text = decode(content)
    except TomlError:
        return []
    return [_in_text(made, found, path, job_id, text) for made, check in TEXT_CHECKS for found in check(text)]


def _in_text(made: Rule, found: FoundAt, path: str, job_id: str, text: str) -> Finding:
    before = text[: found.start].removeprefix("\ufeff")
    line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
    place = _place_of(text, found.start)
    return Finding(
        made.name, made.level, path, place, found.about, job_id, found.message, found.mend, line, column
    )


def _place_of(text: str, offset: int) -> Place:
    """Find the value that a stretch of text lies in; a remark lies in none."""
    return max(_around(text, offset), key=len, default=())


def _around(text: str, offset: int) -> Iterator[Place]:
    for path, span in outline(text).spans.items():
        if span.form == "value" and span.start <= offset < span.end:
            yield path


def without_replaced(schema: list[Finding], named: list[Finding]) -> list[Finding]:
    """Leave out what the schema says of a place that a named rule speaks of."""
    places = {finding.place for finding in named if finding.place}
    return [finding for finding in schema if finding.place not in places] if places else schema
