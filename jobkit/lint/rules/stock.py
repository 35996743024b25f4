"""Stock and donors: what cannot have been taken from them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts, UsedRow
from jobkit.jobs.job import Job
from jobkit.jobs.stock import Item, Receipt
from jobkit.lint.protocols import Jobs
from jobkit.lint.registry import Found, FoundIn, book_rule, own_look, rule
from jobkit.lint.rules.nearest import suggest
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.stock.on_hand import Use, is_since, uses_by_item, uses_by_lot

_KEPT, _GONE = "kept-for-parts", "recycled"


def _took_stock(job: Facts, bench: Bench) -> bool:
    return bool(bench.stock) and any(took.item in bench.stock for took in job.used)


def _took_off_a_donor(job: Facts, _bench: Bench) -> bool:
    return any(took.from_donor for took in job.used)


@book_rule("warning", _took_stock, ("id", "used", "finished", "sent", "collected"))
def stock_negative(job: Facts, jobs: Jobs, bench: Bench) -> Iterator[Found]:
    """More parts were taken from stock than counted.

    What it finds: the entry with which an item of stock.toml, or one of its lots, goes below zero since it was last
    counted. Two equal entries are two parts, even at the same minute. Before a commit and at `jot` it is found at the
    job in hand, whichever job took the last one.

    Why it matters: the count is wrong, so the next part is ordered too late.

    How to fix: count the item again (`jobkit stock count ITEM N`), also after a delivery; or correct the entry.

    Example: four fuses counted on 30 September, and five taken since.
    """
    if not _took_stock(job, bench):
        return
    below = jobs.once(_below_none, bench) if jobs.is_whole else _below_none_here(job, jobs, bench)
    for row in range(len(job.used)) if below else ():
        for what, message in below.get((job.path, row), ()):
            yield Found(
                ("used", row, "item"),
                what,
                message,
                f"count it again: `jobkit stock count {job.used[row].item} N`",
            )


_Below = dict[tuple[str, int], list[tuple[str, str]]]
"""By file and row of the use: the item and a message."""


def _below_none(facts: tuple[Facts, ...], bench: Bench) -> _Below:
    """Find the uses with which an item or a lot goes below zero, in the whole book."""
    found: _Below = {}
    taken = uses_by_item(facts)
    for item in bench.stock.values():
        _note_below(item, taken.get(item.name, ()), found)
    return found


def _below_none_here(job: Facts, jobs: Jobs, bench: Bench) -> _Below:
    """Find the items that a job took and of which more was taken than there was: at the last use in this job."""
    found: _Below = {}
    for name, taken in uses_by_item((job,)).items():
        item = bench.stock.get(name)
        if item is None or not any(is_since(use, item.counted_on) for use in taken):
            continue
        since = str(item.counted_on.year - 1) if item.counted_on else ""
        others = (one for one in jobs.mentioning(name, since) if one.path != job.path)
        _note_below(item, uses_by_item((*others, job)).get(name, ()), found, job.path)
    return found


def _note_below(item: Item, taken: Iterable[Use], found: _Below, here: str = "") -> None:
    """Note where an item or a lot of it goes below none; `here` is the only file where it may be noted."""
    since = sorted((use for use in taken if is_since(use, item.counted_on)), key=_when)
    for name, counted, some in _shelves(item, since):
        last = _first_beyond(counted, some)
        if last and here:
            last = next((use for use in reversed(some) if use.job.path == here), None)
        if last:
            used = sum((use.qty for use in some), Decimal(0))
            message = f"{_plain(counted)} of {name} {_there_since(item)}, and {_plain(used)} taken since"
            found.setdefault((last.job.path, last.row), []).append((item.name, message))


def _there_since(item: Item) -> str:
    return f"counted on {item.counted_on}" + (" or received since" if item.received_since_count() else "")


def _shelves(item: Item, since: list[Use]) -> Iterator[tuple[str, Decimal, list[Use]]]:
    """Give the item as a whole, then each of its lots: name, how many were counted, what was taken."""
    came = item.received_since_count()
    if item.counted is not None:
        yield item.name, item.counted + _sum(came), since
    by_lot = uses_by_lot(since) if item.lots else {}
    for lot in item.lots:
        if lot.counted is not None:
            there = lot.counted + _sum(one for one in came if one.lot == lot.name)
            yield f"{item.name}, lot {lot.name},", there, by_lot.get(lot.name, [])


def _sum(came: Iterable[Receipt]) -> Decimal:
    return sum((one.qty for one in came if one.qty), Decimal(0))


def _first_beyond(counted: Decimal, since: Iterable[Use]) -> Use | None:
    left = counted
    for use in since:
        left -= use.qty
        if left < 0:
            return use
    return None


def _when(use: Use) -> tuple[str, str, int]:
    # What has no time comes last: it is the likeliest to be wrong.
    return use.day or "9999", use.job.path, use.row


@rule("warning")
def lot_unknown(job: Job, bench: Bench) -> Iterator[Found]:
    """A part was taken from a lot that the item does not have.

    What it finds: `lot` of a [[used]] from stock, or of a [[item.NAME.received]], that is not a lot of its item in
    stock.toml.

    Why it matters: the lot shows how long a package has been out of its bag.

    How to fix: correct the name, or add the lot in stock.toml.

    Example: `lot = "2026-9"` where the item has the lot 2026-09.
    """
    for used in job.used:
        item = bench.stock.get(used.item or "")
        if used.lot and item and used.source in {None, "stock"} and item.lot(used.lot) is None:
            mend = suggest(
                used.lot,
                item.lot_names,
                f"add it to {item.name} in stock.toml, with counted = 0 if it is used up",
            )
            yield Found((*used.path, "lot"), used.lot, f"{item.name} has no lot {used.lot}", mend)


@own_look("lot-unknown")
def received_into_unknown_lot(bench: Bench) -> Iterator[FoundIn]:
    """Look at the deliveries."""
    for item in bench.stock.values():
        for one in item.received:
            if one.lot and item.lot(one.lot) is None:
                mend = suggest(one.lot, item.lot_names, f"add the lot to {item.name}")
                message = f"{item.name} has no lot {one.lot}"
                yield FoundIn("stock.toml", Found((*one.path, "lot"), one.lot, message, mend))


@book_rule("error", _took_off_a_donor, ("used",))
def donor_unknown(job: Facts, jobs: Jobs, _bench: Bench) -> Iterator[Found]:
    """A part came from a donor that is not in the book.

    What it finds: `from` of a [[used]] with an id that no job file has.

    Why it matters: what is left on a donor follows from the jobs that name it.

    How to fix: correct the id (`jobkit stock --donors` lists the boards kept for parts); or write `from = "bought"` for
    a part of a board that was never booked in.

    Example: `from = "K26-0106"` in a book that has K26-0016.
    """
    for row, took in _from_donors(job):
        if not jobs.named(took.source):
            message = f"there is no job {took.source}, so there is no such donor"
            yield Found(("used", row, "from"), took.source, message, "write the id of the job of the donor")


@book_rule("error", _took_off_a_donor, ("id", "used", "fate", "finished", "sent"))
def donor_fate(job: Facts, jobs: Jobs, _bench: Bench) -> Iterator[Found]:
    """A part was taken off a board that is not a donor.

    What it finds: `from` of a [[used]] that names a job whose board is not kept for parts: the board of this same job,
    a board that went back to its owner or whose fate is open, a board not yet given up on that day, or one recycled
    before.

    Why it matters: until the owner gives it up, a board and each part of it belong to the owner.

    How to fix: correct the id or the day; or set `is = "kept-for-parts"` under [fate] of the donor's job, once its
    owner has agreed.

    Example: `from = "K26-0014"`, where [fate] of K26-0014 is "returned".
    """
    for row, took in _from_donors(job):
        for donor in jobs.named(took.source)[:1]:
            wrong = _no_donor(job, donor, took.day)
            if wrong:
                yield Found(
                    ("used", row, "from"),
                    took.source,
                    wrong,
                    "correct the id or the day, or the fate of that job",
                )


def _no_donor(job: Facts, donor: Facts, day: str) -> str:
    """Say why a board could not give parts on a day, "" where it could."""
    if donor.path == job.path:
        return "a board cannot be its own donor"
    if donor.fate not in {_KEPT, _GONE}:
        return (
            f"the board of {donor.id} {'went back to its owner' if donor.fate else 'is not kept for parts'}"
        )
    if day and donor.finished and day < donor.finished:
        return f"the part was taken on {day}, and {donor.id} was given up on {donor.finished}"
    if day and donor.fate == _GONE and donor.sent and day > donor.sent:
        return f"the part was taken on {day}, and the board of {donor.id} was recycled on {donor.sent}"
    return ""


class _Off(NamedTuple):
    """A part taken off a donor: on which day, in which file and entry, by which job."""

    day: str
    path: str
    row: int
    job: str


@book_rule("error", _took_off_a_donor, ("id", "used"))
def donor_twice(job: Facts, jobs: Jobs, bench: Bench) -> Iterator[Found]:
    """One part of a donor was used twice.

    What it finds: a [[used]] from a donor whose part there (`donor_part`, else `part`) was used before, by this job or
    another, or more than one of it. Before a commit and at `jot` the job in hand gets the finding, whichever was first.

    Why it matters: each part of a board exists once, so one of the two entries is wrong.

    How to fix: correct the id of the donor, or name the part of the donor in `donor_part`.

    Example: `part = "U6"` from K26-0016 in two jobs.
    """
    taken = _from_donors(job)
    takers = (jobs.once(_takers, bench) if jobs.is_whole else _takers_here(job, jobs, bench)) if taken else {}
    for row, took in taken:
        part = took.off
        others = [
            off for off in takers.get((took.source, part), ()) if (off.path, off.row) != (job.path, row)
        ]
        here = _Off(took.day, job.path, row, job.id)
        first = min(others, default=None)
        if first and (first < here or (not jobs.is_whole and first.path != job.path)):
            on = f" on {first.day}" if first.day else ""
            by = "by this job" if first.path == job.path else f"by {first.job}"
            message = f"{part} of {took.source} was used already{on}, {by}"
            yield Found(
                ("used", row, "from"),
                took.source,
                message,
                "correct the donor, or name its part in donor_part",
            )
        elif part and Decimal(took.qty) > 1:
            message = f"{took.source} has one {part}, and {took.qty} were used"
            yield Found(
                ("used", row, "qty"), took.source, message, "write one entry for each part of the donor"
            )


def _takers(facts: Iterable[Facts], _bench: Bench) -> Mapping[tuple[str, str], list[_Off]]:
    """Gather who took what, by donor and part; entries that name no part are left out."""
    found: dict[tuple[str, str], list[_Off]] = {}
    for one in facts:
        for row, took in _from_donors(one):
            if took.off:
                off = _Off(took.day, one.path, row, one.id)
                found.setdefault((took.source, took.off), []).append(off)
    return found


def _takers_here(job: Facts, jobs: Jobs, bench: Bench) -> Mapping[tuple[str, str], list[_Off]]:
    """Gather who took what from the donors of one job."""
    sources = dict.fromkeys(took.source for _, took in _from_donors(job))
    others = {one.path: one for source in sources for one in jobs.mentioning(source)}
    return _takers(({**others, job.path: job}).values(), bench)


def _from_donors(job: Facts) -> list[tuple[int, UsedRow]]:
    return [(row, took) for row, took in enumerate(job.used) if took.from_donor]


def _plain(count: Decimal) -> str:
    return f"{count.normalize():f}"
