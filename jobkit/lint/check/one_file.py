"""The check of one file by itself, and of one job in the light of the day and the files.

What `check_job` answers depends on nothing but the file, its path, the bench's own files and the contents that rules
about logs open, so it may be kept.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from functools import partial

from jobkit.book.read.facts import all_facts
from jobkit.book.read.load import Loaded, OpenBook, OwnFile, load_job
from jobkit.book.shelf.opening import ShelfError, kind_of
from jobkit.jobs.bench import Bench, RepositoryState
from jobkit.jobs.contents import Contents, NoContents
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.jobs.finding import Finding
from jobkit.jobs.job import Job
from jobkit.jobs.memoise import memoise_last
from jobkit.lint.check.places import located, of_text, of_troubles, without_replaced
from jobkit.lint.check.waived import is_waived
from jobkit.lint.protocols import JobSummary, Waiving
from jobkit.lint.registry import (
    JOB_CHECKS,
    LIVE_CHECKS,
    LOG_CHECKS,
    OWN_CHECKS,
    TERMS_CHECKS,
    Found,
    FoundIn,
    Rule,
)
from jobkit.named_tuple import NamedTuple


class Checked(NamedTuple):
    """What one job file says by itself: its facts (None where it is not TOML), and the findings, waived ones too."""

    facts: Facts | None
    findings: tuple[Finding, ...]


def alone(bench: Bench) -> Bench:
    """Leave of a bench what the check of one job by itself may look at: the bench's own files."""
    return bench._replace(
        facts=(), paths=frozenset(), today=None, repository=RepositoryState(), contents=NoContents()
    )


_NO_FILES = NoContents()


def check_job(loaded: Loaded, bench: Bench, contents: Contents = _NO_FILES) -> Checked:
    """Check one job file by itself: against the schema and by the rules that look at nothing else.

    `contents` opens the files that the job names, for the rules about logs.
    """
    job = loaded.job
    job_id = job.id if job else ""
    said = of_text(loaded.path, job_id, loaded.content)
    found = without_replaced(of_troubles(loaded.path, job_id, loaded.troubles), said)
    if job:
        closed, opening = _without_files(bench), bench._replace(contents=contents)
        for checks, known in ((JOB_CHECKS, closed), (LOG_CHECKS, opening)):
            for made, check in checks:
                founds = [*check(job, known)]
                if founds:  # of most rules there are none
                    found += of_job(made, job, founds)
    facts = facts_of(job) if job else None
    return Checked(facts, (*said, *_located(found, facts, loaded.content)))


@memoise_last
def _without_files(bench: Bench) -> Bench:
    """Take the files away from a bench; one bench for all jobs, as what is remembered goes with it."""
    return bench._replace(contents=_NO_FILES)


def _located(found: list[Finding], job: Waiving | None, content: bytes) -> list[Finding]:
    """Give findings their lines, but for those that the job waives: nobody is told where they are."""
    if not job or not job.waives:
        return located(found, content)
    waivers = frozenset(job.waives)
    told = [one for one in found if not is_waived(one, waivers)]
    return [*located(told, content), *(one for one in found if is_waived(one, waivers))]


def live_findings(summary: JobSummary, bench: Bench, load: Callable[[], Loaded]) -> list[Finding]:
    """Check one job by the rules that go by the day and the files; it is loaded only where one has cause to."""
    checks = [(made, check) for made, screen, check in LIVE_CHECKS if screen(summary, bench)]
    if not checks:
        return []
    loaded = load()
    job = loaded.job
    found = [one for made, check in checks for one in of_job(made, job, check(job, bench))] if job else []
    return located(found, loaded.content)


def own_findings(book: OpenBook) -> list[Finding]:
    """Check the bench's own files, and what git holds of private/."""
    said: dict[str, list[Finding]] = defaultdict(list)
    for made, (file, found) in _of_bench(book):
        said[file].append(_finding(made, file, "", found))
    findings = [one for file in book.own for one in _of_own(file, said.pop(file.path, []))]
    rest = (one for found in said.values() for one in found)
    return [*findings, *(one._replace(line=1, column=1) for one in rest)]


def _of_bench(book: OpenBook) -> Iterator[tuple[Rule, FoundIn]]:
    for made, check in OWN_CHECKS:
        yield from ((made, one) for one in check(book.bench))
    if book.bench.repository.terms:
        for made, look in TERMS_CHECKS:
            yield from ((made, one) for one in look(book.bench, partial(all_facts, book)))


def _of_own(file: OwnFile, by_rules: list[Finding]) -> list[Finding]:
    said = of_text(file.path, "", file.content) if kind_of(file.path) == "board" else []
    broken = frozenset(trouble.place for trouble in file.troubles)
    reader = Job(file.path, "", broken=broken)
    by_rules = [one for one in by_rules if not one.place or not reader.is_broken(*one.place)]
    schema = without_replaced(of_troubles(file.path, "", file.troubles), said)
    return [*said, *located([*schema, *by_rules], file.content)]


def of_job(made: Rule, job: Job, founds: Iterable[Found]) -> Iterator[Finding]:
    """Make findings of what a rule found in a job, but for places that could not be read."""
    for found in founds:
        if not found.place or not job.is_broken(*found.place):
            yield _finding(made, job.path, job.id, found)


def read_again(path: str, found: list[tuple[Rule, Found]], book: OpenBook) -> list[Finding]:
    """Find the places of findings that were told from the facts of a job: only now its text is needed again."""
    try:
        content = book.shelf.read(path)
    except ShelfError:
        return []
    job = load_job(path, content).job
    return located([one for made, what in found for one in of_job(made, job, [what])], content) if job else []


def _finding(made: Rule, path: str, job_id: str, found: Found) -> Finding:
    level = found.level or made.level
    return Finding(made.name, level, path, found.place, found.about, job_id, found.message, found.mend)
