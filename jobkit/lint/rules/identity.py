"""Ids, files and folders."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.finding import Place
from jobkit.jobs.job import Job
from jobkit.lint.protocols import Jobs
from jobkit.lint.registry import Found, book_rule, rule


@rule("error")
def id_mismatch(job: Job, _bench: Bench) -> Iterator[Found]:
    """Job id and file name differ.

    What it finds: `id` differs from the file name without `.toml`.

    Why it matters: jobs are found by file name and referred to by id; with two names one of them is lost.

    How to fix: rename the file, or correct `id`.

    Example: `id = "K26-0012"` in jobs/2026/K26-0021.toml.
    """
    stem = _stem(job.path)
    if job.id != stem:
        message = f"id is {job.id}, but the file is named {stem}"
        yield Found(("id",), job.id, message, f'write id = "{stem}", or rename the file')


@rule("error")
def year_mismatch(job: Job, _bench: Bench) -> Iterator[Found]:
    """A job is in the folder of another year than its id.

    What it finds: a job file in jobs/<year>/ whose id has the digits of another year.

    Why it matters: the next free id is looked for in the folder of its year, so an id in another folder may be used
    twice.

    How to fix: move the file, and the folder of its attachments with it, to the year of its id.

    Example: jobs/2025/K26-0012.toml.
    """
    stem = _stem(job.path)
    year = job.path.rsplit("/", 2)[-2]
    if job.id == stem and stem[1:3].isdigit() and year[2:] != stem[1:3]:
        message = f"{stem} is an id of 20{stem[1:3]}, but the file is in the folder {year}"
        mend = f"move it to jobs/20{stem[1:3]}/, its attachments too"
        yield Found((), stem, message, mend)


@rule("warning")
def letter_unknown(job: Job, bench: Bench) -> Iterator[Found]:
    """An id begins with a letter that bench.toml does not list.

    What it finds: an id, or the number of an invoice, whose letter is not in `letters` of bench.toml, in a book that
    lists its letters.

    Why it matters: ids and numbers never collide as long as each clone has its own letter, and one that is not listed
    may be given to another clone.

    How to fix: list the letter, with who has it; or give the job the next free id of a listed letter.

    Example: M26-0003 where bench.toml has `letters = { K = "ida", L = "tor" }`.
    """
    known = bench.settings.known_letters
    named: list[tuple[Place, str]] = [(("id",), _stem(job.path))]
    if job.invoice and job.invoice.number:
        named.append((("invoice", "number"), job.invoice.number))
    for place, name in named:
        if known and name[:1] not in known:
            message = (
                f"{name} begins with {name[:1]}, and bench.toml lists the letters {', '.join(sorted(known))}"
            )
            yield Found(place, name, message, f'add {name[:1]} to letters, as in {name[:1]} = "tor"')


@book_rule("error", None, waivable=False)
def id_twice(job: Facts, jobs: Jobs, _bench: Bench) -> Iterator[Found]:
    """Two jobs have the same id.

    What it finds: two job files of the same name, in two folders. Both get the finding, and it cannot be waived.

    Why it matters: comebacks, donors and papers name a job by its id; with two of them it is not clear which is meant.

    How to fix: give one of them the next free id (`jobkit book-in --renumber` after a merge).

    Example: jobs/2025/K26-0012.toml beside jobs/2026/K26-0012.toml.
    """
    stem = _stem(job.path)
    others = [one.path for one in jobs.named(stem) if one.path != job.path]
    if others:
        message = f"there is another job {stem}: {', '.join(others)}"
        yield Found(("id",), stem, message, "give one of them the next free id")


def _stem(path: str) -> str:
    return path[path.rfind("/") + 1 :].removesuffix(".toml")
