"""Run the rules over a book: findings come out, sorted, each at its line."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

from jobkit.book.load import Loaded, OpenBook, OwnFile, load_jobs
from jobkit.book.positions import locate, positions
from jobkit.book.toml import decode
from jobkit.book.trouble import Trouble
from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.jobs.finding import Finding, in_order
from jobkit.jobs.job import Job
from jobkit.jobs.settings import Lint
from jobkit.lint.catalogue import all_rules, book_checks, job_checks
from jobkit.lint.registry import SCHEMA, Found, Rule


class Report(NamedTuple):
    """What lint found, and in how many files it looked."""

    files: int
    findings: tuple[Finding, ...]

    def count(self, level: str) -> int:
        """Count the findings of a level."""
        return sum(finding.level == level for finding in self.findings)


def lint(book: OpenBook, wanted: Callable[[str], bool] = lambda _path: True) -> Report:
    """Check the files of a book; `wanted` picks files by path, and rules across jobs still see every job."""
    own = [file for file in book.own if wanted(file.path)]
    findings = [finding for file in own for finding in _own_findings(file)]
    facts: list[Facts] = []
    files = len(own)
    for loaded in load_jobs(book.shelf, book.job_paths):
        if loaded.job:
            facts.append(facts_of(loaded.job))
        if wanted(loaded.path):
            files += 1
            findings += job_findings(loaded, book.bench)
    findings += (one for one in _across(tuple(facts), book) if wanted(one.file))
    return Report(files, tuple(in_order(_moved(findings, book.bench.settings.lint))))


def job_findings(loaded: Loaded, bench: Bench) -> list[Finding]:
    """Check one job file against the schema and the rules about one job."""
    job_id = loaded.job.id if loaded.job else ""
    found = [_trouble(loaded.path, job_id, trouble) for trouble in loaded.troubles]
    if loaded.job:
        found += _unwaived(loaded.job, _by_rules(loaded.job, bench))
    return _located(found, loaded.content)


def _by_rules(job: Job, bench: Bench) -> Iterator[Finding]:
    for made, check in job_checks():
        for found in check(job, bench):
            if not job.is_broken(*found.place) or not found.place:
                yield _finding(made, job.path, job.id, found)


def _across(facts: tuple[Facts, ...], book: OpenBook) -> Iterator[Finding]:
    for made, check in book_checks():
        for facts_there, found in check(facts, book.bench):
            finding = _finding(made, facts_there.path, facts_there.id, found)
            yield from _located([finding], book.shelf.read(finding.file))


def _own_findings(file: OwnFile) -> list[Finding]:
    return _located([_trouble(file.path, "", trouble) for trouble in file.troubles], file.content)


def _trouble(path: str, job_id: str, trouble: Trouble) -> Finding:
    return Finding(
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


def _finding(made: Rule, path: str, job_id: str, found: Found) -> Finding:
    level = found.level or made.level
    return Finding(made.name, level, path, found.place, found.about, job_id, found.message, found.mend)


def _unwaived(job: Job, findings: Iterable[Finding]) -> Iterator[Finding]:
    waived = {(waive.rule, waive.about) for waive in job.waives}
    rules = all_rules()
    for finding in findings:
        singled_out = {(finding.rule, None), (finding.rule, finding.about)}
        if not (rules[finding.rule].waivable and waived & singled_out):
            yield finding


def _located(findings: list[Finding], content: bytes) -> list[Finding]:
    """Give each finding its line and column; the text is indexed only where there is something to look up."""
    if all(finding.line for finding in findings):
        return findings
    index = positions(decode(content))
    return [finding if finding.line else _at(finding, locate(index, finding.place)) for finding in findings]


def _at(finding: Finding, position: tuple[int, int]) -> Finding:
    return finding._replace(line=position[0], column=position[1])


def _moved(findings: Iterable[Finding], habit: Lint) -> Iterator[Finding]:
    """Move rules to the level the bench has set."""
    levels = (
        dict.fromkeys(habit.note, "note")
        | dict.fromkeys(habit.warn, "warning")
        | dict.fromkeys(habit.error, "error")
    )
    for finding in findings:
        if finding.rule in habit.off and finding.rule != SCHEMA.name:
            continue
        yield finding._replace(level=levels.get(finding.rule, finding.level))
