"""A few jobs have changed since a lint of the whole book: these are checked again, and all else stays as it was found.

That holds only where the change matters to no other job: what rules across jobs read of these jobs is what it was, and
no such rule had found anything in them, which might stand at another line by now. Whoever cannot tell goes through all.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property

from jobkit.book.history.changed_jobs import Moved
from jobkit.book.read.facts import content_id
from jobkit.book.read.load import OpenBook, load_jobs
from jobkit.jobs.finding import Finding
from jobkit.jobs.job import Job
from jobkit.lint.check import fingerprints as marks
from jobkit.lint.check.apply_waivers import settle
from jobkit.lint.check.fingerprints import Mark, mark_of
from jobkit.lint.check.one_file import alone, check_job
from jobkit.lint.check.result import RECENT, Head, Recent
from jobkit.lint.check.results import MANY_RECENT, head_of, recent_of
from jobkit.lint.run.whole_book import of_jobs


def again(
    book: OpenBook, moved: Mapping[str, Moved], before: Callable[[list[Moved]], Mapping[str, Job]]
) -> list[Finding] | None:
    """Check jobs again; None where the others may be in for it. `before` loads jobs as they were committed."""
    known = _Known(book)
    heads, bench = [], alone(book.bench)
    for loaded in load_jobs(book.shelf, moved):
        one = moved[loaded.path]
        head = head_of(one.path, check_job(loaded, bench), bench, content_id(loaded, book.shelf))
        mark = known.mark(one.path, one.was)
        if not head.is_read or head.blob != one.blob or not mark or mark.read != mark_of(head).read:
            return None
        heads.append(head)
    committed = {one.path: known.mark(one.path, one.committed) for one in moved.values()}
    # Only a job that had been sent is bound to what it was.
    bound = [one for one in moved.values() if one.committed and _may_be_sent(committed[one.path])]
    beside = book.bench.beside._replace(before=before(bound) if bound else {})
    book = book._replace(bench=book.bench._replace(beside=beside))
    found = settle(book, [*of_jobs(book, heads)], heads)
    known.keep(heads, committed)
    return found


def _may_be_sent(mark: Mark | None) -> bool:
    return mark is None or mark.was.is_sent


class _Known:
    """What is kept of jobs: of all as they were when the whole book was kept, and of the few checked since."""

    def __init__(self, book: OpenBook) -> None:
        self._keep = book.shelf.keep
        self._fresh = recent_of(book, {})
        kept = self._keep.load(RECENT) if self._keep else None
        recent = Recent._make(kept) if kept else self._fresh
        is_same = (recent.own, recent.zone) == (self._fresh.own, self._fresh.zone)
        self._recent = recent if is_same else self._fresh

    @cached_property
    def _text(self) -> bytes:
        text: bytes = (self._keep.load(marks.NAME) if self._keep else None) or b""
        return text

    def mark(self, path: str, blob: str) -> Mark | None:
        """Find what is known of a job with a content."""
        rows = self._recent.heads.get(path)
        head = Head._make(rows[0]) if rows else None
        if head and head.blob == blob and head.is_read:
            return mark_of(head)
        return marks.find(self._text, path, blob) if blob else None

    def keep(self, heads: list[Head], committed: Mapping[str, Mark | None]) -> None:
        """Keep heads beside those kept before, each with what the job was in the last commit."""
        if not self._keep:
            return
        rows = {}
        for head in heads:
            mark, known = committed[head.path], self._recent.heads.get(head.path)
            rows[head.path] = (tuple(head), tuple(mark.was) if mark else known and known[1])
        others = self._recent.heads if len(self._recent.heads) < MANY_RECENT else {}
        self._keep.store(RECENT, tuple(self._recent._replace(heads=others | rows)))
