"""Findings as lines, as JSON, and in the forms that other programs read."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING

from jobkit.jobs.finding import LEVELS, Finding
from jobkit.lint.run.report import Commit, Report
from jobkit.named_tuple import NamedTuple
from jobkit.pages.findings.github import as_commands
from jobkit.pages.forms.colour import Paint
from jobkit.units.errors import in_one_line

if TYPE_CHECKING:
    from jobkit.pages.forms.data import Data


class Look(NamedTuple):
    """How findings are shown: in colour or not, and what is before each path for programs that see the repository.

    `prefix` is the book's folder in its repository, "" or ending in "/".
    """

    colour: bool = False
    prefix: str = ""


def as_lines(report: Report, look: Look) -> str:
    """Write each finding as `path:line:column: level rule: message` with the fix below, then the count.

    Where a history was looked at, the findings are below the commit that brought them.
    """
    paint = Paint(on=look.colour)
    lines = [line for finding in _of(report, "") for line in _lines(finding, paint)]
    for commit in report.commits:
        brought = _of(report, commit.id)
        if brought:
            lines += [paint.strong(_said(commit)), *(line for one in brought for line in _lines(one, paint))]
    return "\n".join([*lines, summary(report)]) + "\n"


def as_data(report: Report, _look: Look) -> str:
    """Write the findings as one JSON object."""
    # Loaded only here, as for SARIF: what writes data takes longer to load than lines to be written.
    from jobkit.pages.forms.data import as_json  # noqa: PLC0415

    data: Data = {
        "files": report.files,
        "errors": report.count("error"),
        "warnings": report.count("warning"),
        "notes": report.count("note"),
        "findings": [_data(finding) for finding in report.findings],
    }
    if report.commits:
        data["commits"] = [commit._asdict() for commit in report.commits]
    return as_json(data)


def summary(report: Report) -> str:
    """Say in one line what was looked at and what was found."""
    counts = [_counted(report.count(level), level) for level in LEVELS if report.count(level)]
    looked_at = _counted(report.files, "file")
    if report.commits:
        looked_at = f"{_counted(len(report.commits), 'commit')}, {looked_at}"
    return f"{looked_at}: {', '.join(counts) or 'no problems found'}"


def _as_sarif(report: Report, look: Look) -> str:
    # Its schema of rules takes their documentation apart; only who asks for it waits for that.
    from jobkit.pages.findings.sarif import as_sarif  # noqa: PLC0415

    return as_sarif(report.findings, look.prefix)


FORMATS: Mapping[str, Callable[[Report, Look], str]] = {
    "text": as_lines,
    "json": as_data,
    "sarif": _as_sarif,
    "github": lambda report, look: as_commands(report.findings, look.prefix) + summary(report) + "\n",
}
"""One row a format."""


def _of(report: Report, commit: str) -> list[Finding]:
    return [finding for finding in report.findings if finding.commit == commit]


def _said(commit: Commit) -> str:
    return f"commit {commit.id[:10]} of {commit.day} by {commit.author}: {commit.subject}"


def _lines(finding: Finding, paint: Paint) -> Iterator[str]:
    place = f"{in_one_line(finding.file)}:{finding.line}:{finding.column}"
    yield f"{place}: {paint.word(finding.level)} {finding.rule}: {in_one_line(finding.message)}"
    if finding.mend:
        yield f"    {in_one_line(finding.mend)}"


def _data(finding: Finding) -> Data:
    data: Data = {
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
    return {**data, "commit": finding.commit} if finding.commit else data


def _counted(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"
