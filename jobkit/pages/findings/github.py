"""Findings as the workflow commands that GitHub turns into annotations on a change."""

from __future__ import annotations

from collections.abc import Iterable

from jobkit.jobs.finding import Finding
from jobkit.units.errors import in_lines, in_one_line

_COMMANDS = {"error": "error", "warning": "warning", "note": "notice"}


def as_commands(findings: Iterable[Finding], prefix: str = "") -> str:
    """Write one command a finding; `prefix` is the book's folder in its repository.

    Form and escapes: GitHub Docs, "Workflow commands for GitHub Actions"; the escapes as in the toolkit's command.ts
    (from memory): %, carriage return and newline in the message, colon and comma too in a property.

    >>> found = Finding("date-order", "error", "jobs/2026/K26-0047.toml", (), "", "", "off by 5 %", "", 12, 1)
    >>> print(as_commands([found]), end="")
    ::error file=jobs/2026/K26-0047.toml,line=12,col=1,title=date-order::off by 5 %25
    """
    return "".join(f"{_command(finding, prefix)}\n" for finding in findings)


def _command(finding: Finding, prefix: str) -> str:
    properties = {
        "file": in_one_line(prefix + finding.file),
        "line": str(finding.line),
        "col": str(finding.column),
        "title": finding.rule,
    }
    said = in_lines("\n".join(filter(None, (finding.message, finding.mend))))
    pairs = ",".join(f"{key}={_in_property(value)}" for key, value in properties.items())
    return f"::{_COMMANDS[finding.level]} {pairs}::{_in_message(said)}"


def _in_message(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _in_property(text: str) -> str:
    return _in_message(text).replace(":", "%3A").replace(",", "%2C")
