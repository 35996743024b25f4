"""What the book knows of one board and of its design, asked of the store instead of thousands of jobs."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from functools import cache, partial
from hashlib import sha1

from jobkit.book.cache.facts_row import unpack
from jobkit.book.cache.store import Cache
from jobkit.book.read.current import is_current
from jobkit.book.read.facts import all_facts
from jobkit.book.read.load import OpenBook, load_job
from jobkit.jobs.asof import facts_as_of, job_as_of
from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job
from jobkit.jobs.manner import Manner
from jobkit.jobs.serial import is_same_serial, serial_key
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.readings.good_boards import good_jobs, same_board
from jobkit.reckon.readings.other_boards import OtherBoards
from jobkit.reckon.readings.tally import Tally
from jobkit.reckon.readings.usual import Usual, usual_of
from jobkit.reckon.suspects.past_causes import PastCauses, PastJob, past_jobs


class Boards(NamedTuple):
    """What a book knows of boards by the end of a day: the stays of a serial, usual readings, and past causes.

    `usual` says of a job what other good boards of its design read, in each manner.
    """

    stays: Callable[[str], Sequence[Facts]]
    usual: Callable[[Job], Callable[[Manner], Usual | None]]
    past: PastCauses


def boards_in(book: OpenBook, on: date) -> Boards:
    """Ask the store of a book about one board or a few."""
    return Boards(
        lambda serial: stays_of(book, serial, on),
        lambda job: usual_for(book, job, on),
        past_causes(book, on),
    )


def boards_among(known: Sequence[Facts], bench: Bench) -> Boards:
    """Answer for all jobs of a book in turn, from their facts as they were known at the end of a day."""
    by_serial: dict[str, list[Facts]] = defaultdict(list)
    for one in known:
        if one.serial:
            by_serial[serial_key(one.serial)].append(one)
    counted = cache(lambda design: OtherBoards(design, known, bench))
    return Boards(
        lambda serial: by_serial.get(serial_key(serial), []) if serial else [],
        lambda job: (
            counted(job.board.design).usual_for(facts_of(job)) if job.board.design else (lambda _manner: None)
        ),
        cache(lambda design: past_jobs(known, design) if design else ()),
    )


def stays_of(book: OpenBook, serial: str, on: date) -> list[Facts]:
    """Give the facts of every job with a serial, as they were known at the end of a day; none without a serial."""
    if not serial:
        return []
    if book.cache and is_current(book):
        facts = sorted(_facts_here(book.cache, serial=serial_key(serial)), key=lambda one: one.path)
    else:
        facts = [one for one in _every_fact(book) if is_same_serial(one.serial, serial)]
    return facts_as_of(facts, on)


def stays_before(book: OpenBook, earlier: Iterable[Facts], on: date) -> list[Job]:
    """Load earlier jobs of a board, in the order in which they are given, as they were known at the end of a day."""
    jobs = (load_job(one.path, book.shelf.read(one.path)).job for one in earlier)
    return [job_as_of(job, on) for job in jobs if job]


def chain_of(book: OpenBook, job: Job, on: date) -> dict[str, Facts]:
    """Give by id what was known at the end of a day of the earlier jobs that a comeback leads back to."""
    found: dict[str, Facts] = {}
    before = job.comeback.of if job.comeback else None
    while before and before not in found:
        paths = book.shelf.jobs_named(before)
        loaded = load_job(paths[0], book.shelf.read(paths[0])).job if paths else None
        known = facts_as_of([facts_of(loaded)], on) if loaded else []
        if not known:
            break
        found[before], before = known[0], known[0].comeback_of
    return found


def usual_for(book: OpenBook, job: Job, on: date) -> Callable[[Manner], Usual | None]:
    """Say what other good boards of a job's design read by the end of a day, in each manner that is asked for.

    That is what `usual_of` says of all jobs; of the readings it tells no more than what is needed to compare with them.
    """
    if not job.board.design:
        return lambda _manner: None
    if book.cache and is_current(book):
        tally = _tally(book, book.cache, job, on)
        if tally:
            design = book.bench.designs.get(job.board.design)
            return cache(partial(tally.usual, meters=book.bench.meters, design=design))
    learned = usual_of(job.board.design, facts_as_of(_every_fact(book), on), book.bench, but=facts_of(job))
    return {row.manner: row for row in learned.rows if row.n or row.open}.get


def past_causes(book: OpenBook, on: date) -> PastCauses:
    """Say which causes the finished jobs of a design had by the end of a day."""

    def of_design(design: str) -> tuple[PastJob, ...]:
        if not design:
            return ()
        known = (
            _facts_here(book.cache, design=design) if book.cache and is_current(book) else _every_fact(book)
        )
        return past_jobs(facts_as_of(known, on), design)

    return cache(of_design)


def _every_fact(book: OpenBook) -> Sequence[Facts]:
    """Give the facts of all jobs: those that the bench has, where they were read before."""
    return book.bench.facts or all_facts(book)


def _tally(book: OpenBook, store: Cache, job: Job, on: date) -> Tally | None:
    """Count what the others read; None where a board came back later than that day, which changes which are good."""
    back, design, last = store.came_back(), job.board.design or "", on.isoformat()
    if any(day > last for _, _, day in back):
        return None
    came_back = {before: path for before, path, _ in back}
    tally = _kept(store, design, came_back)
    later = _facts_here(store, since=f"{last}+", design=design, teaches="1")
    stays = _facts_here(store, serial=serial_key(job.board.serial)) if job.board.serial else []
    twins = [one for path in book.shelf.jobs_named(job.id) for one in _facts_here(store, path=path)]
    counted = {one.path: one for one in (*later, *stays, *twins)}
    tally.take_out(good_jobs(design, counted.values(), came_back)[0])
    others = [one for one in facts_as_of(later, on) if not same_board(one, facts_of(job))]
    tally.add(good_jobs(design, others, came_back)[0])
    return tally


def _kept(store: Cache, design: str, came_back: Mapping[str, str]) -> Tally:
    """Give the tally of all good boards of a design, counted only where one of them is new or has changed."""
    told = f"{store.taught_by(design)} {sorted(came_back.items())}"
    question = sha1(told.encode("utf-8", "surrogateescape"), usedforsecurity=False).hexdigest()
    name = f"good {design}"
    text = store.answer(name, question)
    if text is not None:
        return Tally.from_data(json.loads(text))
    tally = Tally()
    tally.add(good_jobs(design, _facts_here(store, design=design, teaches="1"), came_back)[0])
    store.put_answer(name, question, json.dumps(tally.as_data()))
    return tally


def _facts_here(store: Cache, since: str = "", **where: str) -> list[Facts]:
    """Give the facts of the jobs of the working tree that have these values."""
    rows = (unpack(row) for _, _, *row in store.facts_here(where, since))
    return [facts for facts in rows if facts]
