"""Whether a finding is waived by the job that it stands in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from jobkit.jobs.finding import Finding
from jobkit.lint.protocols import Waiving
from jobkit.lint.rules.catalogue import all_rules


def unwaived(job: Waiving, findings: Iterable[Finding]) -> Iterator[Finding]:
    """Leave out the findings that a job waives: all of a rule, or those about one thing."""
    return (finding for finding in findings if not is_waived(finding, job))


def is_waived(finding: Finding, job: Waiving) -> bool:
    """Tell whether a job waives a finding."""
    waivers = {(finding.rule, ""), (finding.rule, finding.about)}
    return all_rules()[finding.rule].waivable and not waivers.isdisjoint(job.waives)
