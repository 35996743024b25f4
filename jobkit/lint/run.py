"""Run the rules over a book: findings come out, sorted, each at its line.

Three passes: each file by itself (what `check_job` answers depends on nothing but the file, its path and the bench's
own files, so it may be kept), then each job in the light of the day, the files and the other jobs, then what all of it
leaves of the waivers.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from functools import partial
from typing import NamedTuple, Protocol

from jobkit.book.load import Loaded, OpenBook, OwnFile, load_job, load_jobs
from jobkit.book.shelf import Shelf, ShelfError, kind_of
from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.jobs.finding import Finding, in_order
from jobkit.jobs.job import Job
from jobkit.jobs.settings import Lint
from jobkit.lint.at_hand import JobsAtHand
from jobkit.lint.catalogue import all_rules
from jobkit.lint.place import located, of_text, of_troubles, without_replaced
from jobkit.lint.registry import (
    BOOK_CHECKS,
    JOB_CHECKS,
    LAST_CHECKS,
    LIVE_CHECKS,
    OWN_CHECKS,
    Found,
    Rule,
)


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


class Checked(NamedTuple):
    """What one job file says by itself: its facts (None where it is no TOML), and the findings, waived ones too."""

    facts: Facts | None
    findings: tuple[Finding, ...]


class Kept(Protocol):
    """Where the answers of `check_job` are kept, by path and blob id, while the bench's own files do not change."""

    def get(self, path: str, blob: str) -> Checked | None:
        """Give what is kept of a file with this content, if anything."""

    def put(self, path: str, blob: str, checked: Checked) -> None:
        """Keep an answer."""


def lint(
    book: OpenBook, wanted: Callable[[str], bool] = lambda _path: True, kept: Kept | None = None
) -> Report:
    """Check the files of a book; `wanted` picks files by path, and rules across jobs still see every job."""
    own = [file for file in book.own if wanted(file.path)]
    findings = [one for one in own_findings(book) if wanted(one.file)]
    jobs = JobsAtHand(book)
    known: list[Facts] = []
    files = len(own)
    for checked, load in _checked(book, [path for path in book.job_paths if wanted(path)], kept):
        files += 1
        findings += checked.findings
        if checked.facts:
            jobs.put(checked.facts)
            known.append(checked.facts)
            findings += live_findings(checked.facts, book.bench, load)
    for facts in known:
        findings += _book_findings(facts, jobs, book)
    return Report(files, tuple(in_order(_moved(_settled(findings, known, book), book.bench.settings.lint))))


def _checked(
    book: OpenBook, paths: list[str], kept: Kept | None
) -> Iterator[tuple[Checked, Callable[[], Loaded]]]:
    """Check each job by itself, or take the answer that is kept; each comes with the way to its text."""
    blobs = _blobs(book.shelf, paths) if kept is not None else {}
    to_do = []
    for path in paths:
        known = kept.get(path, blobs[path]) if kept is not None and path in blobs else None
        if known:
            yield known, partial(_load, book.shelf, path)
        else:
            to_do.append(path)
    for loaded in load_jobs(book.shelf, to_do):
        checked = check_job(loaded, book.bench)
        if kept is not None and loaded.path in blobs:
            kept.put(loaded.path, blobs[loaded.path], checked)
        yield checked, partial(_itself, loaded)


def _blobs(shelf: Shelf, paths: list[str]) -> dict[str, str]:
    """Ask for the blob id of each file that has one."""
    blobs = {}
    for path in paths:
        with suppress(ShelfError):
            blobs[path] = shelf.blob(path)
    return blobs


def _load(shelf: Shelf, path: str) -> Loaded:
    return next(iter(load_jobs(shelf, [path])))


def _itself(loaded: Loaded) -> Loaded:
    return loaded


def check_job(loaded: Loaded, bench: Bench) -> Checked:
    """Check one job file by itself: against the schema and by the rules that look at nothing else."""
    job = loaded.job
    job_id = job.id if job else ""
    said = of_text(loaded.path, job_id, loaded.content)
    found = without_replaced(of_troubles(loaded.path, job_id, loaded.troubles), said)
    if job:
        found += (one for made, check in JOB_CHECKS for one in _of_job(made, job, check(job, bench)))
    return Checked(facts_of(job) if job else None, (*said, *located(found, loaded.content)))


def live_findings(facts: Facts, bench: Bench, load: Callable[[], Loaded]) -> list[Finding]:
    """Check one job by the rules that go by the day and the files; it is loaded only where one has cause to."""
    checks = [(made, check) for made, screen, check in LIVE_CHECKS if screen(facts, bench)]
    if not checks:
        return []
    loaded = load()
    job = loaded.job
    found = [one for made, check in checks for one in _of_job(made, job, check(job, bench))] if job else []
    return located(found, loaded.content)


def own_findings(book: OpenBook) -> list[Finding]:
    """Check the bench's own files, and what git holds of private/."""
    said: dict[str, list[Finding]] = defaultdict(list)
    for made, check in OWN_CHECKS:
        for file, found in check(book.bench):
            said[file].append(_finding(made, file, "", found))
    findings = [one for file in book.own for one in _of_own(file, said.pop(file.path, []))]
    rest = (one for found in said.values() for one in found)
    return [*findings, *(one._replace(line=1, column=1) for one in rest)]


def _of_own(file: OwnFile, by_rules: list[Finding]) -> list[Finding]:
    said = of_text(file.path, "", file.content) if kind_of(file.path) == "board" else []
    broken = frozenset(trouble.place for trouble in file.troubles)
    reader = Job(file.path, "", broken=broken)
    by_rules = [one for one in by_rules if not one.place or not reader.is_broken(*one.place)]
    schema = without_replaced(of_troubles(file.path, "", file.troubles), said)
    return [*said, *located([*schema, *by_rules], file.content)]


def _of_job(made: Rule, job: Job, founds: Iterable[Found]) -> Iterator[Finding]:
    """Make findings of what a rule found in a job, but for places that could not be read."""
    for found in founds:
        if not found.place or not job.is_broken(*found.place):
            yield _finding(made, job.path, job.id, found)


def _book_findings(facts: Facts, jobs: JobsAtHand, book: OpenBook) -> list[Finding]:
    found = [(made, one) for made, check in BOOK_CHECKS for one in check(facts, jobs, book.bench)]
    return _read_again(facts, found, book) if found else []


def _read_again(facts: Facts, found: list[tuple[Rule, Found]], book: OpenBook) -> list[Finding]:
    """Find the places of findings that were told from the facts of a job: only now its text is needed again."""
    try:
        content = book.shelf.read(facts.path)
    except ShelfError:
        return []
    job = load_job(facts.path, content).job
    return (
        located([one for made, what in found for one in _of_job(made, job, [what])], content) if job else []
    )


def _finding(made: Rule, path: str, job_id: str, found: Found) -> Finding:
    level = found.level or made.level
    return Finding(made.name, level, path, found.place, found.about, job_id, found.message, found.mend)


def _settled(findings: list[Finding], known: list[Facts], book: OpenBook) -> Iterator[Finding]:
    """Leave out what is waived, and add what there is to say of the waivers."""
    waiving = {facts.path: facts for facts in known if facts.waives}
    by_file: dict[str, list[Finding]] = {path: [] for path in waiving}
    for finding in findings:
        if finding.file in waiving:
            by_file[finding.file].append(finding)
        else:
            yield finding
    for path, facts in waiving.items():
        yield from unwaived(facts, by_file[path])
        last = [(made, one) for made, check in LAST_CHECKS for one in check(facts, by_file[path])]
        yield from _read_again(facts, last, book) if last else ()


def unwaived(facts: Facts, findings: Iterable[Finding]) -> Iterator[Finding]:
    """Leave out the findings that a job waives: all of a rule, or those about one thing."""
    rules = all_rules()
    for finding in findings:
        waivers = {(finding.rule, ""), (finding.rule, finding.about)}
        if not rules[finding.rule].waivable or waivers.isdisjoint(facts.waives):
            yield finding


def _moved(findings: Iterable[Finding], habit: Lint) -> Iterator[Finding]:
    """Move rules to the level the bench has set; those that nobody can waive stay where they are."""
    levels = (
        dict.fromkeys(habit.note, "note")
        | dict.fromkeys(habit.warn, "warning")
        | dict.fromkeys(habit.error, "error")
        | dict.fromkeys(habit.off, "")
    )
    fixed = [made.name for made in all_rules().values() if not made.waivable]
    for name in fixed:
        levels.pop(name, None)
    for finding in findings:
        level = levels.get(finding.rule, finding.level)
        if level:
            yield finding._replace(level=level)
