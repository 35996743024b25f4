"""What a change to one job gives rise to: the findings that were not there before."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from jobkit.book.read.load import Loaded
from jobkit.jobs.bench import Bench
from jobkit.jobs.finding import Finding
from jobkit.lint.check.one_file import check_job, live_findings
from jobkit.lint.check.waived import unwaived

_SLIPS = frozenset(("schema", "limit-mismatch", "limit-empty", "trial-log-outside"))
"""Rules whose findings are slips of the hand, never something that happened on the bench: a pass that its own log
contradicts did not happen."""


def new_findings(before: Loaded, after: Loaded, bench: Bench) -> tuple[Finding, ...]:
    """List the findings about one job that a change to its file has made, unless the bench has switched them off."""
    known = Counter(map(_what, _findings(before, bench)))
    return tuple(_new(_findings(after, _since(before, bench)), known))


def is_slip(finding: Finding) -> bool:
    """Tell whether a finding says that something was mistyped, so that it had better not be written at all.

    What happened must be possible to write down, however bad; a name that no file knows did not happen.
    """
    return finding.rule in _SLIPS or (_is_of_a_name(finding.rule) and finding.level != "note")


def may_be_right(slip: Finding) -> bool:
    """Tell whether a slip is a name that a file may only lack so far; there are no rules but those of lint."""
    return _is_of_a_name(slip.rule) and slip.rule != "waive-unknown"


def _is_of_a_name(rule: str) -> bool:
    return rule.endswith("-unknown")


def _since(before: Loaded, bench: Bench) -> Bench:
    """Give the bench with the job as it was: a job that was sent is sealed."""
    if before.job is None:
        return bench
    return bench._replace(beside=bench.beside._replace(before={before.path: before.job}))


def _findings(loaded: Loaded, bench: Bench) -> Iterator[Finding]:
    checked = check_job(loaded, bench, bench.contents)
    if checked.facts is None:
        yield from checked.findings
        return
    found = (*checked.findings, *live_findings(checked.facts, bench, lambda: loaded))
    yield from (one for one in unwaived(checked.facts, found) if one.rule not in bench.settings.lint.off)


def _new(findings: Iterable[Finding], known: Counter[tuple[str, str, str]]) -> Iterator[Finding]:
    for finding in findings:
        what = _what(finding)
        if not known[what]:
            yield finding
        elif not _is_of_a_name(finding.rule):  # of a name it is enough to have spoken once
            known[what] -= 1


def _what(finding: Finding) -> tuple[str, str, str]:
    return finding.rule, finding.about, finding.message
