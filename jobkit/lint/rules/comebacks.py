"""Comebacks: which earlier job is meant."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.serial import is_same_serial
from jobkit.lint.protocols import Jobs
from jobkit.lint.registry import Found, book_rule

_PLACE = ("comeback", "of")


def _came_back(job: Facts, _bench: Bench) -> bool:
    return bool(job.comeback_of)


@book_rule("error", _came_back, ("comeback_of",))
def comeback_unknown(job: Facts, jobs: Jobs, _bench: Bench) -> Iterator[Found]:
    """A comeback names a job that is not in the book.

    What it finds: `comeback.of` with an id that no job file has.

    Why it matters: warranty and the share of comebacks are counted along this link.

    How to fix: correct the id; the earlier jobs of the board are those with its serial (`jobkit show`).

    Example: `of = "K26-0103"` in a book that has K26-0013.
    """
    if job.comeback_of and not jobs.named(job.comeback_of):
        message = f"there is no job {job.comeback_of}"
        yield Found(_PLACE, job.comeback_of, message, "write the id of the earlier job of this board")


@book_rule("error", _came_back, ("id", "comeback_of", "serial"))
def comeback_serial(job: Facts, jobs: Jobs, _bench: Bench) -> Iterator[Found]:
    """A comeback names the job of another board.

    What it finds: `comeback.of` with the id of a job whose board has another serial number than this one. Case, spaces
    and hyphens make no difference.

    Why it matters: the warranty of one board would be calculated for another.

    How to fix: correct the id or one of the serial numbers. If the label with the number was replaced, add a waiver
    with the reason.

    Example: serial T7-0011-2087 with `of` naming a job with serial T7-0009-1777.
    """
    for first in jobs.named(job.comeback_of) if job.comeback_of and job.serial else ():
        if first.serial and not is_same_serial(first.serial, job.serial) and first.path != job.path:
            message = f"{first.id} was board {first.serial}, and this is {job.serial}"
            yield Found(_PLACE, job.comeback_of, message, "correct the id, or the serial of one of the two")
            return


@book_rule("error", _came_back, ("id", "comeback_of"))
def comeback_loop(job: Facts, jobs: Jobs, _bench: Bench) -> Iterator[Found]:
    """Comebacks refer to each other in a circle.

    What it finds: a job that is its own earlier job, directly or along a chain of comebacks. Each job of the circle
    gets the finding.

    Why it matters: a chain without a first job has no first warranty.

    How to fix: correct `comeback.of` of the earliest job, or remove it there.

    Example: K26-0035 with `of = "K26-0024"`, and K26-0024 with `of = "K26-0035"`.
    """
    circle = _circle(job, jobs) if job.comeback_of else []
    if circle:
        way = " -> ".join([*circle, circle[0]])
        mend = "correct comeback.of of the earliest of them, or remove it there"
        yield Found(_PLACE, job.comeback_of, f"the comebacks form a circle: {way}", mend)


@book_rule("error", _came_back, ("id", "comeback_of", "received", "sent", "collected"))
def comeback_early(job: Facts, jobs: Jobs, _bench: Bench) -> Iterator[Found]:
    """A board came back before it was sent.

    What it finds: a comeback that was received before its earlier job was sent or collected.

    Why it matters: the days at the client, and so the warranty, cannot be counted.

    How to fix: correct the id, or the dates of one of the two jobs.

    Example: `received = 2026-09-14` for a comeback of a job with `sent = 2026-09-18`.
    """
    for first in jobs.named(job.comeback_of) if job.comeback_of and job.received else ():
        gone = first.sent or first.collected
        if gone > job.received and first.path != job.path:
            message = f"received {job.received}, but {first.id} was sent only on {gone}"
            yield Found(_PLACE, job.comeback_of, message, "correct the id, or the dates of one of the two")
            return


def _circle(job: Facts, jobs: Jobs) -> list[str]:
    """Follow the comebacks from a job; its ids if they lead back to it, else none."""
    way = {job.id: None}  # in order, and quick to look a job up in
    at = job.comeback_of
    while at and at not in way:
        way[at] = None
        at = next((one.comeback_of for one in jobs.named(at)), "")
    return list(way) if at == job.id else []
