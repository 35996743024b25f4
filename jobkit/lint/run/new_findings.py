"""What a change to one job gives rise to: the findings that were not there before."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from jobkit.book.read.load import Loaded, OpenBook
from jobkit.book.shelf.contents import Rewritten
from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.jobs.finding import Finding
from jobkit.jobs.job import Job
from jobkit.lint.check.one_file import alone, check_job, live_findings, of_job
from jobkit.lint.check.waived import unwaived
from jobkit.lint.registry import BOOK_CHECKS, Across
from jobkit.lint.run.cross_job import in_place
from jobkit.lint.run.few_jobs import JobsAround

_SLIPS = frozenset(("schema", "currency-mixed", "limit-mismatch", "limit-empty", "trial-log-outside"))
"""Rules whose findings are slips of the hand, never something that happened on the bench: a pass that its own log
contradicts did not happen, and an amount in another currency was worth so much in that of the job."""


def new_findings(
    before: Loaded, after: Loaded, book: OpenBook, sealed: Job | None = None
) -> tuple[Finding, ...]:
    """List the findings about one job that a change to its file has made, unless the bench has switched them off.

    `sealed` is the last state of the job that was committed as sent, which binds it. Of the rules across jobs, only
    those are asked whose answer the change can alter.
    """
    was, now = _facts(before), _facts(after)
    rules = [one for one in BOOK_CHECKS if one.asks and not one.whole and _may_alter(one, was, now)]
    jobs, bench = JobsAround(book), book.bench
    known = Counter(map(_what, _findings(before, book, rules, jobs)))
    if sealed:
        around = bench.repository._replace(before={after.path: sealed})
        book = book._replace(bench=bench._replace(repository=around))
    return tuple(_new(_findings(after, book, rules, jobs), known))


def _facts(loaded: Loaded) -> Facts | None:
    return facts_of(loaded.job) if loaded.job else None


def _may_alter(rule: Across, was: Facts | None, now: Facts | None) -> bool:
    """Tell whether a rule across jobs reads anything of a job that differs in two states of it."""
    return any(getattr(was, name, None) != getattr(now, name, None) for name in rule.reads)


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


def _findings(loaded: Loaded, book: OpenBook, rules: Sequence[Across], jobs: JobsAround) -> Iterator[Finding]:
    bench = book.bench
    checked = check_job(loaded, bench, bench.contents)
    if checked.facts is None or loaded.job is None:
        yield from checked.findings
        return
    around = jobs.as_if(loaded.path, checked.facts)
    across = list(_across(loaded.job, loaded.content, checked.facts, around, bench, rules))
    found = (*in_place(across, checked.findings), *live_findings(checked.facts, bench, lambda: loaded))
    yield from (one for one in unwaived(checked.facts, found) if one.rule not in bench.settings.lint.off)


def _across(
    job: Job, content: bytes, facts: Facts, jobs: JobsAround, bench: Bench, rules: Sequence[Across]
) -> Iterator[Finding]:
    """Ask rules across jobs about a job as it is to be written; the others are looked for as they are needed."""
    own = alone(bench)
    opening = own._replace(contents=Rewritten(bench.contents, job.path, content))
    for rule in rules:
        if rule.asks and rule.asks(facts, own):
            found = rule.check(facts, jobs, opening if rule.opens else own)
            yield from of_job(rule.made, job, found)


def _new(findings: Iterable[Finding], known: Counter[tuple[str, str, str]]) -> Iterator[Finding]:
    for finding in findings:
        what = _what(finding)
        if not known[what]:
            yield finding
        elif not _is_of_a_name(finding.rule):  # of a name it is enough to have spoken once
            known[what] -= 1


def _what(finding: Finding) -> tuple[str, str, str]:
    return finding.rule, finding.about, finding.message
