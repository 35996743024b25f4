"""Run the rules over a book: findings come out, sorted, each at its line.

Three passes: each file by itself, then each job in the light of the day, the files and the other jobs, then what all
of it leaves of the waivers.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import partial
from typing import Protocol

from jobkit.book.cache.packed import Packed
from jobkit.book.read.load import Loaded, OpenBook, load_jobs
from jobkit.book.shelf.opening import Shelf
from jobkit.jobs.finding import Finding
from jobkit.lint.check.apply_waivers import settle
from jobkit.lint.check.one_file import alone, check_job, live_findings, own_findings
from jobkit.lint.check.result import Head
from jobkit.lint.check.results import Checked, Looked, State, head_of, keep_facts, keep_look, look
from jobkit.lint.registry import LIVE_CHECKS
from jobkit.lint.run.cross_job import ByRule, findings_across
from jobkit.lint.run.job_lookup import JobsAtHand
from jobkit.lint.run.report import Report


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
    looked, facts = _look(book, paths, kept, jobs)
    is_kept = kept is None and jobs.are_whole
    if is_kept:
        keep_facts(book, looked, facts)
    jobs.put_packed(facts)
    report, across = judged(book, wanted, looked, jobs)
    del jobs  # all their facts: as much as keeping takes
    if is_kept:
        keep_look(book, looked, across)
    return report._replace(is_steady=_is_steady(book, looked))


def _is_steady(book: OpenBook, looked: Looked) -> bool:
    """Tell whether what was read of jobs is what git, or a second look, says of them: none was changed meanwhile."""
    if not book.shelf.keep:
        return True  # nobody keeps what comes of it
    blobs = book.shelf.blobs(looked.fresh)
    return all(looked.heads[path].blob in {blob, ""} for path, blob in blobs.items())


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


def _look(
    book: OpenBook, paths: list[str], kept: Kept | None, jobs: JobsAtHand
) -> tuple[Looked, dict[str, Packed]]:
    bench = alone(book.bench)
    if kept is None:
        return look(book, paths, lambda loaded: check_job(loaded, bench))
    heads = {}
    for path, checked in _checked(book, paths, kept):
        heads[path] = head_of(path, checked, bench)
        if checked.facts:
            jobs.put(checked.facts)
    return Looked(heads, frozenset(), State()), {}


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
