"""Check a few jobs of a book without going through the others: of those, a rule is given the ones that it asks for."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from jobkit.book.read.load import OpenBook, load_jobs
from jobkit.book.shelf.paths import Searched
from jobkit.jobs.facts import Facts
from jobkit.lint.check.one_file import alone, check_job
from jobkit.lint.check.results import Looked, State, head_of
from jobkit.lint.run.job_lookup import JobsAtHand
from jobkit.lint.run.report import Report
from jobkit.lint.run.whole_book import judged


def lint_few(book: OpenBook, shelf: Searched, wanted: Callable[[str], bool], paths: Sequence[str]) -> Report:
    """Check the job files `paths` (sorted), not all that the book has, and its own files that are wanted."""
    jobs, bench = _FewAtHand(book, shelf, paths), alone(book.bench)
    heads = {}
    for loaded in load_jobs(book.shelf, paths):
        checked = check_job(loaded, bench)
        heads[loaded.path] = head_of(loaded.path, checked, bench)
        if checked.facts:
            jobs.put(checked.facts)
    report, _ = judged(book, wanted, Looked(heads, frozenset(), State()), jobs)
    return report


class _FewAtHand(JobsAtHand):
    """The jobs of a book as rules ask for them, looked for by name."""

    def __init__(self, book: OpenBook, shelf: Searched, few: Sequence[str]) -> None:
        super().__init__(book)
        self._searched = shelf
        self._few = few

    def _paths_named(self, job_id: str) -> Sequence[str]:
        return () if "/" in job_id else self._searched.jobs_named(job_id)

    def sharing_a_name(self) -> list[str]:
        stems = ((path, path.rpartition("/")[2].removesuffix(".toml")) for path in self._few)
        return [path for path, stem in stems if len(self._paths_named(stem)) > 1]

    def all(self) -> tuple[Facts, ...]:
        paths = (path for path in self._searched.paths() if path.startswith("jobs/"))
        return tuple(facts for path in paths if path.endswith(".toml") and (facts := self.at(path)))
