"""Run the rules over a book: findings come out, sorted, each at its line.

Three passes: each file by itself (what `check_job` answers depends on nothing but the file, its path and the bench's
own files, so it may be kept), then each job in the light of the day, the files and the other jobs, then what all of it
leaves of the waivers.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from typing import Protocol

from jobkit.book.load import Loaded, OpenBook, OwnFile, load_job, load_jobs
from jobkit.book.shelf import Shelf, ShelfError, kind_of
from jobkit.jobs.bench import Bench, Beside
from jobkit.jobs.digest import facts_of
from jobkit.jobs.finding import Finding, in_order
from jobkit.jobs.job import Job
from jobkit.jobs.settings import Lint
from jobkit.lint.asked_of import Glance, Waiving
from jobkit.lint.at_hand import JobsAtHand
from jobkit.lint.catalogue import all_rules
from jobkit.lint.changes import Changes
from jobkit.lint.head import Head
from jobkit.lint.heads import Checked as Checked  # noqa: PLC0414 - for whoever checks jobs one by one
from jobkit.lint.heads import Looked, State, head_of, keep_look, look
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
from jobkit.lint.report import Commit as Commit  # noqa: PLC0414 - what lint answers with
from jobkit.lint.report import Report as Report  # noqa: PLC0414


class Kept(Protocol):
    """Where the answers of `check_job` are kept, by path and blob id, while the bench's own files do not change."""

    def get(self, path: str, blob: str) -> Checked | None:
        """Give what is kept of a file with this content, if anything."""

    def put(self, path: str, blob: str, checked: Checked) -> None:
        """Keep an answer."""


def lint(
    book: OpenBook, wanted: Callable[[str], bool] = lambda _path: True, kept: Kept | None = None
) -> Report:
    """Check the files of a book; `wanted` picks files by path, and rules across jobs still see every job.

    `kept` replaces what is kept of the book in git's folder.
    """
    paths = [path for path in book.job_paths if wanted(path)]
    jobs = JobsAtHand(book, is_whole=len(paths) == len(book.job_paths))
    looked = _look(book, paths, kept, jobs)
    jobs.put_packed(looked.fresh)
    report, across = judged(book, wanted, looked, jobs)
    is_kept = kept is None and jobs.are_whole
    del jobs  # all their facts: as much as keeping takes
    if is_kept:
        keep_look(book, looked, across)
    return report


ByRule = dict[str, dict[str, list[Finding]]]
"""Findings of the rules across jobs, by rule and path."""


def judged(
    book: OpenBook, wanted: Callable[[str], bool], looked: Looked, jobs: JobsAtHand
) -> tuple[Report, ByRule]:
    """Say what there is to say of jobs that were looked at, and of the bench's own files that are wanted."""
    own = [file for file in book.own if wanted(file.path)]
    findings = [one for one in own_findings(book) if wanted(one.file)]
    findings += of_jobs(book, looked.heads.values())
    across = findings_across(book, looked, jobs)
    findings += (one for found in across.values() for of_job in found.values() for one in of_job)
    settled = settle(book, findings, looked.heads.values())
    spoken_of = frozenset(path for found in across.values() for path, of_job in found.items() if of_job)
    return Report(len(own) + len(looked.heads), tuple(settled), across=spoken_of), across


def of_jobs(book: OpenBook, heads: Iterable[Head]) -> Iterator[Finding]:
    """Yield what was found in jobs by themselves, and what the day and the files have to say of them."""
    screens = [screen for _, screen, _ in LIVE_CHECKS]
    for head in heads:
        yield from map(Finding._make, head.found)
        if head.is_read and any(screen(head, book.bench) for screen in screens):
            yield from live_findings(head, book.bench, partial(_load, book.shelf, head.path))


def settle(book: OpenBook, findings: list[Finding], heads: Iterable[Head]) -> list[Finding]:
    """Leave out what is waived and what the bench has switched off, move levels as it has set them, and sort."""
    settled = _settled(findings, [head for head in heads if head.waives], book)
    return in_order(_moved(settled, book.bench.settings.lint))


def _look(book: OpenBook, paths: list[str], kept: Kept | None, jobs: JobsAtHand) -> Looked:
    bench = alone(book.bench)
    if kept is None:
        return look(book, paths, lambda loaded: check_job(loaded, bench))
    heads = {}
    for path, checked in _checked(book, paths, kept):
        heads[path] = head_of(path, checked, bench)
        if checked.facts:
            jobs.put(checked.facts)
    return Looked(heads, {}, State())


def alone(bench: Bench) -> Bench:
    """Leave of a bench what the check of one job by itself may look at: the bench's own files."""
    return bench._replace(facts=(), paths=frozenset(), today=None, beside=Beside())


def _checked(book: OpenBook, paths: list[str], kept: Kept) -> Iterator[tuple[str, Checked]]:
    """Check each job by itself, or take the answer that is kept."""
    blobs = book.shelf.blobs(paths)
    to_do = []
    for path in paths:
        known = kept.get(path, blobs[path]) if path in blobs else None
        if known:
            yield path, known
        else:
            to_do.append(path)
    for loaded in load_jobs(book.shelf, to_do):
        checked = check_job(loaded, book.bench)
        if loaded.path in blobs:
            kept.put(loaded.path, blobs[loaded.path], checked)
        yield loaded.path, checked


def _load(shelf: Shelf, path: str) -> Loaded:
    return next(iter(load_jobs(shelf, [path])))


def check_job(loaded: Loaded, bench: Bench) -> Checked:
    """Check one job file by itself: against the schema and by the rules that look at nothing else."""
    job = loaded.job
    job_id = job.id if job else ""
    said = of_text(loaded.path, job_id, loaded.content)
    found = without_replaced(of_troubles(loaded.path, job_id, loaded.troubles), said)
    if job:
        for made, check in JOB_CHECKS:
            founds = [*check(job, bench)]
            if founds:  # of most rules there are none
                found += _of_job(made, job, founds)
    facts = facts_of(job) if job else None
    return Checked(facts, (*said, *_located(found, facts, loaded.content)))


def _located(found: list[Finding], job: Waiving | None, content: bytes) -> list[Finding]:
    """Give findings their lines, but for those that the job waives: nobody is told where they stand."""
    if not job or not job.waives:
        return located(found, content)
    told = [one for one in found if not is_waived(one, job)]
    return [*located(told, content), *(one for one in found if is_waived(one, job))]


def live_findings(glance: Glance, bench: Bench, load: Callable[[], Loaded]) -> list[Finding]:
    """Check one job by the rules that go by the day and the files; it is loaded only where one has cause to."""
    checks = [(made, check) for made, screen, check in LIVE_CHECKS if screen(glance, bench)]
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


def findings_across(book: OpenBook, looked: Looked, jobs: JobsAtHand) -> ByRule:
    """Run the rules across jobs, by rule and path; of what was found before, what cannot have changed is taken over."""
    bench = alone(book.bench)
    changes = Changes(looked) if jobs.are_whole else None
    askers: dict[str, list[str]] = defaultdict(list)
    for head in looked.heads.values():
        for name in head.asks:
            askers[name].append(head.path)
    shared = [path for path in jobs.sharing_a_name() if path in looked.heads and looked.heads[path].is_read]
    said: dict[str, dict[str, list[tuple[Rule, Found]]]] = defaultdict(dict)
    across: ByRule = {}
    for one in BOOK_CHECKS:
        if one.whole and not jobs.are_whole:
            continue
        asking = askers[one.made.name] if one.asks else shared
        known = changes.taken_over(one) if changes else None
        across[one.made.name] = known or {}
        for path in asking:
            if known is None or changes is None or changes.may_have_moved(one, path):
                facts = jobs.at(path)
                found = [(one.made, what) for what in one.check(facts, jobs, bench)] if facts else []
                if found:
                    said[path][one.made.name] = found
    for path, by_rule in said.items():
        together = [what for found in by_rule.values() for what in found]
        for finding in _read_again(path, together, book):
            across[finding.rule].setdefault(path, []).append(finding)
    return across


def _read_again(path: str, found: list[tuple[Rule, Found]], book: OpenBook) -> list[Finding]:
    """Find the places of findings that were told from the facts of a job: only now its text is needed again."""
    try:
        content = book.shelf.read(path)
    except ShelfError:
        return []
    job = load_job(path, content).job
    return (
        located([one for made, what in found for one in _of_job(made, job, [what])], content) if job else []
    )


def _finding(made: Rule, path: str, job_id: str, found: Found) -> Finding:
    level = found.level or made.level
    return Finding(made.name, level, path, found.place, found.about, job_id, found.message, found.mend)


def _settled(findings: list[Finding], waiving: list[Head], book: OpenBook) -> Iterator[Finding]:
    """Leave out what is waived, and add what there is to say of the waivers."""
    by_file: dict[str, list[Finding]] = {head.path: [] for head in waiving}
    for finding in findings:
        if finding.file in by_file:
            by_file[finding.file].append(finding)
        else:
            yield finding
    for head in waiving:
        found = by_file[head.path]
        yield from unwaived(head, found)
        last = [(made, one) for made, check in LAST_CHECKS for one in check(head, found)]
        yield from _read_again(head.path, last, book) if last else ()


def unwaived(job: Waiving, findings: Iterable[Finding]) -> Iterator[Finding]:
    """Leave out the findings that a job waives: all of a rule, or those about one thing."""
    return (finding for finding in findings if not is_waived(finding, job))


def is_waived(finding: Finding, job: Waiving) -> bool:
    """Tell whether a job waives a finding."""
    waivers = {(finding.rule, ""), (finding.rule, finding.about)}
    return all_rules()[finding.rule].waivable and not waivers.isdisjoint(job.waives)


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
