"""Findings as lines, as JSON, and in the forms that other programs read."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from jobkit.jobs.finding import LEVELS, Finding
from jobkit.lint.run import Report
from jobkit.pages.data import Data, as_json
from jobkit.pages.paint import Paint


def as_lines(report: Report, colour: bool) -> str:  # noqa: FBT001 - one of the formats, all called alike
    """Write each finding as `path:line:column: level rule: message` with the mend below, then the count."""
    paint = Paint(on=colour)
    lines = [line for finding in report.findings for line in _lines(finding, paint)]
    return "\n".join([*lines, summary(report)]) + "\n"


def as_data(report: Report, _colour: bool) -> str:  # noqa: FBT001
    """Write the findings as one JSON object."""
    return as_json(
        {
            "files": report.files,
            "errors": report.count("error"),
            "warnings": report.count("warning"),
            "notes": report.count("note"),
            "findings": [_data(finding) for finding in report.findings],
        }
    )


def summary(report: Report) -> str:
    """Say in one line what was looked at and what was found."""
    counts = [_counted(report.count(level), level) for level in LEVELS if report.count(level)]
    return f"{_counted(report.files, 'file')}: {', '.join(counts) or 'nothing found'}"


FORMATS: Mapping[str, Callable[[Report, bool], str]] = {"text": as_lines, "json": as_data}


def _lines(finding: Finding, paint: Paint) -> Iterator[str]:
    place = f"{finding.file}:{finding.line}:{finding.column}"
    yield f"{place}: {paint.word(finding.level)} {finding.rule}: {finding.message}"
    if finding.mend:
        yield f"    {finding.mend}"


def _data(finding: Finding) -> Data:
    return {
        "rule": finding.rule,
        "level": finding.level,
        "file": finding.file,
        "line": finding.line,
        "column": finding.column,
        "job": finding.job or None,
        "about": finding.about or None,
        "message": finding.message,
        "mend": finding.mend,
    }


def _counted(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"
