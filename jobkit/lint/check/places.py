"""Where a finding is: line and column for a place in a file, and the place for a stretch of its text."""

from __future__ import annotations

from collections.abc import Iterable

from jobkit.book.schema.trouble import Trouble
from jobkit.book.toml.parse import TomlError, decode
from jobkit.book.toml.positions import Positions, locate, positions
from jobkit.jobs.finding import Finding
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
    said = [(made, found) for made, check in TEXT_CHECKS for found in check(text)]
    if not said:
        return []
    index = positions(text)
    return [_in_text(made, found, path, job_id, index) for made, found in said]


def _in_text(made: Rule, found: FoundAt, path: str, job_id: str, index: Positions) -> Finding:
    place, (line, column) = index.around(found.start), index.at(found.start)
    return Finding(
        made.name, made.level, path, place, found.about, job_id, found.message, found.mend, line, column
    )


def without_replaced(schema: list[Finding], named: list[Finding]) -> list[Finding]:
    """Leave out what the schema says of a place that a named rule mentions."""
    places = {finding.place for finding in named if finding.place}
    return [finding for finding in schema if finding.place not in places] if places else schema
