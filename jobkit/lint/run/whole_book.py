"""Run the rules over a book: findings come out, sorted, each at its line.

Three passes: each file by itself, then each job in the light of the day, the files and the other jobs, then what all
of it leaves of the waivers.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import partial

from jobkit.book.read.load import Loaded, OpenBook, load_jobs
from jobkit.book.shelf.opening import Shelf
from jobkit.jobs.finding import Finding
from jobkit.lint.check.apply_waivers import apply_waivers_and_levels
from jobkit.lint.check.check_cache import CheckResult
from jobkit.lint.check.check_or_recall import CheckedBook, check_or_recall
from jobkit.lint.check.one_file import live_findings, own_findings
from jobkit.lint.registry import LIVE_CHECKS
from jobkit.lint.run.cross_job import findings_across, in_place
from jobkit.lint.run.job_lookup import JobLookup
from jobkit.lint.run.report import Report


def lint(book: OpenBook, wanted: Callable[[str], bool] = lambda _path: True) -> Report:
    """Check the files of a book; `wanted` picks files by path, and rules across jobs still see every job."""
    checked = check_or_recall(book, [path for path in book.job_paths if wanted(path)])
    return judged(book, wanted, checked, JobLookup(book, checked))


def judged(book: OpenBook, wanted: Callable[[str], bool], checked: CheckedBook, jobs: JobLookup) -> Report:
    """Say what there is to say of jobs that were checked, and of the bench's own files that are wanted."""
    own = [file for file in book.own if wanted(file.path)]
    results = checked.results.values()
    findings = [one for one in own_findings(book) if wanted(one.file)]
    findings += in_place(findings_across(book, checked, jobs), _of_jobs(book, results))
    settled = apply_waivers_and_levels(book, findings, results)
    return Report(len(own) + len(results), tuple(settled))


def _of_jobs(book: OpenBook, results: Iterable[CheckResult]) -> Iterator[Finding]:
    """Yield what was found in jobs by themselves, and what the day and the files have to say of them."""
    screens = [screen for _, screen, _ in LIVE_CHECKS]
    for result in results:
        if result.found:
            yield from result.findings
        for screen in screens if result.is_read else ():
            if screen(result, book.bench):
                yield from live_findings(result, book.bench, partial(_load, book.shelf, result.path))
                break


def _load(shelf: Shelf, path: str) -> Loaded:
    return next(iter(load_jobs(shelf, [path])))
