"""Parts: whether each was on the board when it was removed, off it when it was fitted, and from where it came."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime

from jobkit.jobs.bench import Bench
from jobkit.jobs.entries import Used, Work
from jobkit.jobs.job import Job
from jobkit.lint.registry import Found, rule
from jobkit.reckon.heat.part_places import Move, missing_on_arrival, moves

_ELSEWHERE = frozenset(("stock", "bought", "client"))


@rule("warning")
def removed_twice(job: Job, _bench: Bench) -> Iterator[Found]:
    """A part was removed though it was off the board.

    What it finds: a `remove` or `swap` of a soldered part that an earlier `remove` had taken off and that was not
    fitted since, or that a line of `condition` under [intake] calls missing. A piece of work without a time counts as
    done right after the one before it in the file.

    Why it matters: one of the two entries is wrong, or the fitting between them was not written down; heat cycles are
    counted by these entries.

    How to fix: correct the name of the part, add the fitting between them, or delete the entry that was written twice.

    Example: `did = "remove"`, `part = "U3"` on 22 October and on 23 October, and no `fit` between them.
    """
    for move in _moves(job):
        if not move.was_on and move.work.did != "fit":
            was = (
                f"had been off the board since {_when(move.last)}" if move.last else "was missing on arrival"
            )
            message = f"{move.part} was {_did(move.work)}, but it {was}"
            yield Found(
                (*move.work.path, "part"), move.part, message, "correct the part, or add the fitting before"
            )


@rule("warning")
def never_removed(job: Job, _bench: Bench) -> Iterator[Found]:
    """A part was fitted though it was never removed.

    What it finds: a `fit` of a soldered part that was on the board: neither removed before nor called missing by a line
    of `condition` under [intake].

    Why it matters: the heating that took the old part off is missing, so the site has seen more heat than the job says.

    How to fix: add the `remove`; write `swap` for both in one go; or, where the part was not there on arrival, say so
    under [intake], as in `condition = ["C44 missing"]`.

    Example: `did = "fit"`, `part = "U3"` in a job that never removed U3.
    """
    for move in _moves(job):
        if move.was_on and move.work.did == "fit":
            since = (
                f"it has been on the board since {_when(move.last)}" if move.last else "it was never removed"
            )
            message = f"{move.part} was {_did(move.work)}, but {since}"
            mend = (
                'add the removal, or write did = "swap"; a part that was not there on arrival: condition = '
            )
            yield Found((*move.work.path, "part"), move.part, message, f'{mend}["{move.part} missing"]')


def _moves(job: Job) -> Iterator[Move]:
    if job.work and not job.is_broken("work"):
        yield from moves(job.work, missing_on_arrival(job))


def _did(work: Work) -> str:
    done = {"remove": "removed", "swap": "swapped", "fit": "fitted"}[work.did or ""]
    return f"{done} on {work.at.date()}" if work.at else done


def _when(work: Work | None) -> str:
    return f"{work.at:%Y-%m-%d %H:%M}" if work and work.at else "an entry without a time"


@rule("error")
def came_mismatch(job: Job, bench: Bench) -> Iterator[Found]:
    """A part that was fitted is said to come from elsewhere than the part used.

    What it finds: a `fit` or `swap` with `came = "new"` or "same" whose part was used from a donor, and one with
    `came = "donor"` for which the package's own item was taken from stock, bought or sent by the client. Of several
    fittings of one part, a [[used]] belongs to the one nearest to it in time.

    Why it matters: the client reads on the paper whether the part is new; a donor's part has been heated before, and
    stock does not count it.

    How to fix: correct `came` in the work, or `from` in the part used.

    Example: `did = "fit"`, `part = "U3"`, `came = "new"`, and a [[used]] of U3 with `from = "K26-0016"`.
    """
    fittings = [work for work in job.work if work.did in {"fit", "swap"} and work.part]
    if not fittings or not job.used or job.is_broken("work") or job.is_broken("used"):
        return
    items, by_part = _items(job, bench), _by_part(fittings)
    for used in job.used:
        work = _nearest(used.at, by_part.get(used.part, ()))
        if work and work.came and (message := _contradiction(used, work, items)):
            yield Found(
                (*work.path, "came"), used.part or "", message, "correct came, or from of the part used"
            )


def _items(job: Job, bench: Bench) -> Mapping[str | None, str | None]:
    """Name the item of stock.toml that replaces each package, where the board file says it."""
    design = bench.designs.get(job.board.design or "")
    return {package.part: package.item for package in design.packages} if design else {}


def _by_part(fittings: Iterable[Work]) -> Mapping[str | None, Sequence[Work]]:
    """List the fittings of each part in the order of their times, those without a time first."""
    found: dict[str | None, list[Work]] = defaultdict(list)
    for work in sorted(fittings, key=_time):
        found[work.part].append(work)
    return found


def _time(work: Work) -> datetime:
    return work.at or datetime.min


def _nearest(at: datetime | None, fittings: Sequence[Work]) -> Work | None:
    """Find the fitting nearest to a moment, the earlier of two as near; the first where the moment is not known."""
    if not fittings or at is None:
        return fittings[0] if fittings else None
    after = bisect_left(fittings, at, key=_time)
    around = [fittings[number] for number in (after - 1, after) if 0 <= number < len(fittings)]
    return min(around, key=lambda work: abs(at - _time(work)))


def _contradiction(used: Used, work: Work, items: Mapping[str | None, str | None]) -> str:
    source = used.source or "stock"
    if source not in _ELSEWHERE and work.came != "donor":
        return f'{used.part} was fitted as "{work.came}", but it was taken from {source}'
    if source in _ELSEWHERE and work.came == "donor" and used.item and used.item == items.get(used.part):
        return f'{used.part} was fitted as "donor", but {used.item} is from {source}'
    return ""
