"""Whether a finding is waived by the job that it is in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Set

from jobkit.jobs.finding import Finding
from jobkit.lint.protocols import Waiving
from jobkit.lint.rules.catalogue import all_rules


def unwaived(job: Waiving, findings: Iterable[Finding]) -> Iterator[Finding]:
    """Leave out the findings that a job waives: all of a rule, or those about one thing."""
    waivers = frozenset(job.waives)
    return (finding for finding in findings if not is_waived(finding, waivers))


def is_waived(finding: Finding, waivers: Set[tuple[str, str]]) -> bool:
    """Tell whether a finding is waived by rule and subject ("" = any)."""
    asked = ((finding.rule, ""), (finding.rule, finding.about))
    return all_rules()[finding.rule].waivable and not waivers.isdisjoint(asked)
