"""What lint answers with; needs nothing that lint needs."""

from __future__ import annotations

from jobkit.jobs.finding import Finding
from jobkit.named_tuple import NamedTuple


class Commit(NamedTuple):
    """A commit that a history was looked at for: its id, its day at the bench, who made it, and its first line."""

    id: str
    day: str
    author: str
    subject: str


class Report(NamedTuple):
    """What lint found, and in how many files it looked; `commits` only where a history was looked at."""

    files: int
    findings: tuple[Finding, ...]
    commits: tuple[Commit, ...] = ()

    def count(self, level: str) -> int:
        """Count the findings of a level."""
        return sum(finding.level == level for finding in self.findings)
