"""Parts: whether each was on the board when it was removed, off it when it was fitted, and from where it came."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from jobkit.jobs.bench import Bench
from jobkit.jobs.entries import Used, Work
from jobkit.jobs.facts import Facts, UsedRow, WorkRow
from jobkit.jobs.job import Job
from jobkit.jobs.work_kinds import FITTINGS
from jobkit.lint.protocols import Jobs
from jobkit.lint.registry import Found, book_look, book_rule, rule
from jobkit.lint.rules.stays import earlier_stays_of
from jobkit.reckon.heat.fittings import used_with_fitting
from jobkit.reckon.heat.part_places import left_off_by, moves
from jobkit.reckon.heat.removal_alloy import alloy_left as sites_with_alloy


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
    for move in moves(job.work, job.intake.missing) if not job.is_broken("work") else ():
        if not move.was_on and move.work.did != "fit":
            was = (
                f"had been off the board since {_when(move.last)}" if move.last else "was missing on arrival"
            )
            message = f"{move.part} was {_did(move.work)}, but it {was}"
            yield Found(
                (*move.work.path, "part"), move.part, message, "correct the part, or add the fitting before"
            )


def _fits_what_is_on(job: Facts, _bench: Bench) -> bool:
    return any(move.was_on and move.work.did == "fit" for move in moves(job.work, frozenset(job.missing)))


_STAYS = ("id", "serial", "received", "comeback_of", "work", "missing")


@book_rule("warning", _fits_what_is_on, (*_STAYS, "unreadable"))
def never_removed(job: Facts, jobs: Jobs, bench: Bench) -> Iterator[Found]:
    """A part was fitted though it was never removed.

    What it finds: a `fit` of a soldered part that was on the board: neither removed before, in this job or in an
    earlier one of the board that did not fit it again, nor called missing by a line of `condition` under [intake].

    Why it matters: the heating that took the old part off is missing, so the site has seen more heat than the job says.

    How to fix: add the `remove`; write `swap` for both in one go; or, where the part was not there on arrival, say so
    under [intake], as in `condition = ["C44 missing"]`.

    Example: `did = "fit"`, `part = "U3"` in a job that never removed U3.
    """
    if "work" in job.unreadable:
        return
    off = left_off_by(earlier_stays_of(job, jobs, bench))
    for move in moves(job.work, off.keys() | set(job.missing)):
        if move.was_on and move.work.did == "fit":
            since = (
                f"it has been on the board since {_when(move.last)}" if move.last else "it was never removed"
            )
            message = f"{move.part} was {_did(move.work)}, but {since}"
            mend = (
                'add the removal, or write did = "swap"; a part that was not there on arrival: condition = '
            )
            yield Found(("work", move.work.row, "part"), move.part, message, f'{mend}["{move.part} missing"]')


def _did(work: Work | WorkRow) -> str:
    done = {"remove": "removed", "swap": "swapped", "fit": "fitted", "reflow": "reflowed"}[work.did or ""]
    return f"{done} on {work.at.date()}" if work.at else done


def _when(work: Work | WorkRow | None) -> str:
    return f"{work.at:%Y-%m-%d %H:%M}" if work and work.at else "an entry without a time"


@rule("error")
def came_mismatch(job: Job, bench: Bench) -> Iterator[Found]:
    """A part that was fitted is said to come from elsewhere than the part used.

    What it finds: a `fit` or `swap` with `came = "new"` or "same" whose part was used from a donor, and one with
    `came = "donor"` for which the package's own item was taken from stock, bought or sent by the client. Of several
    fittings of one part, a [[used]] belongs to the one nearest to it in time; what an earlier job of the board took for
    a part and did not fit belongs to the next fitting of that part.

    Why it matters: the client reads on the paper whether the part is new; a donor's part has been heated before, and
    stock does not count it.

    How to fix: correct `came` in the work, or `from` in the part used.

    Example: `did = "fit"`, `part = "U3"`, `came = "new"`, and a [[used]] of U3 with `from = "K26-0016"`.
    """
    if not job.work or not job.used or job.is_broken("work") or job.is_broken("used"):
        return
    items = _items(job.board.design, bench)
    for used, work in used_with_fitting(job.work, job.used):
        if work.came and (message := _contradiction(used, work, items)):
            yield Found(
                (*work.path, "came"), used.part or "", message, "correct came, or from of the part used"
            )


def _items(name: str | None, bench: Bench) -> Mapping[str | None, str | None]:
    """Name the item of stock.toml that replaces each package, where the board file says it."""
    design = bench.designs.get(name or "")
    return {package.part: package.item for package in design.packages} if design else {}


def _contradiction(used: Used | UsedRow, work: Work | WorkRow, items: Mapping[str | None, str | None]) -> str:
    source = used.source or "stock"
    if used.from_donor and work.came != "donor":
        return f'{used.part} was fitted as "{work.came}", but it was taken from {source}'
    if not used.from_donor and work.came == "donor" and used.item and used.item == items.get(used.part):
        return f'{used.part} was fitted as "donor", but {used.item} is from {source}'
    return ""


def _fitted_from_elsewhere(job: Facts, _bench: Bench) -> bool:
    return bool(job.serial or job.comeback_of) and any(_without_used(job))


@book_look("came-mismatch", _fitted_from_elsewhere, (*_STAYS, "used", "design", "unreadable"))
def came_mismatch_over_stays(job: Facts, jobs: Jobs, bench: Bench) -> Iterator[Found]:
    """Compare what was fitted with what an earlier stay of the board took for it and did not fit."""
    if not {"work", "used"}.isdisjoint(job.unreadable):
        return
    taken, items = _taken_and_not_fitted(earlier_stays_of(job, jobs, bench)), _items(job.design, bench)
    for work in _without_used(job):
        used, by = taken.pop(work.part, (None, ""))
        if used and (message := _contradiction(used, work, items)):
            mend = f"correct came, or from of the part used in {by}"
            yield Found(("work", work.row, "came"), work.part, f"{message}, by {by}", mend)


def _without_used(job: Facts) -> Iterator[WorkRow]:
    """Yield the fittings of a job for which it names no part used."""
    used = {one.part for one in job.used}
    yield from (one for one in job.work if one.did in FITTINGS and one.came and one.part not in {"", *used})


def _taken_and_not_fitted(stays: Iterable[Facts]) -> dict[str, tuple[UsedRow, str]]:
    """Give by place the part that stays took for it and did not fit yet, each with the id of the job."""
    taken: dict[str, tuple[UsedRow, str]] = {}
    for stay in stays:
        taken |= {one.part: (one, stay.id) for one in stay.used if one.part}
        for work in stay.work:
            if work.did in FITTINGS:
                taken.pop(work.part, None)
    return taken


@rule("error")
def alloy_left(job: Job, _bench: Bench) -> Iterator[Found]:
    """A part was fitted on a site that was not cleaned of removal alloy.

    What it finds: a `fit`, `swap` or `reflow` of a part that was taken off with a `removal_alloy`, without a `prepare`
    of the part, or one that names no part, in between. A `swap` with a removal alloy of its own is found too.

    Why it matters: such an alloy mixes with the new solder, and the joints melt where a board gets hot under load:
    tin-bismuth at 138 °C. Under a package it cannot be reached again.

    How to fix: wick the site clean before the part goes on, and write it down as `did = "prepare"`; write a swap as
    remove, prepare and fit.

    Example: `did = "remove"`, `removal_alloy = "Sn42Bi58"` at 11:05, and `did = "fit"` of the same part at 13:00.
    """
    for fitting, removal in sites_with_alloy(job.work) if not job.is_broken("work") else ():
        message = f"{fitting.part} was {_did(fitting)} on a site with {removal.removal_alloy} on it"
        if removal is not fitting:
            message = f"{message}, used on it {_when(removal)}"
        yield Found(
            (*fitting.path, "part"),
            fitting.part or "",
            message,
            'wick the site clean first, and write did = "prepare"',
        )


def _has_removals(job: Facts, _bench: Bench) -> bool:
    return bool(job.serial or job.comeback_of) and any(work.did in {"remove", "swap"} for work in job.work)


@book_rule("warning", _has_removals, _STAYS)
def part_left_off(job: Facts, jobs: Jobs, bench: Bench) -> Iterator[Found]:
    """A part was removed that an earlier stay left off the board.

    What it finds: a `remove` or `swap` of a soldered part that an earlier job of the same serial took off the board, or
    called missing, and that no job since has fitted.

    Why it matters: one of the two jobs is wrong about the part, or the board was worked on in between; heat cycles are
    counted by these entries.

    How to fix: correct the name of the part, add the fitting to the earlier job, or, where others fitted it, add a
    waiver that says so.

    Example: K26-0016 ends with `did = "remove"` of U2, and a later job of the board begins with `did = "remove"` of U2.
    """
    left = left_off_by(earlier_stays_of(job, jobs, bench))
    for move in moves(job.work, frozenset(job.missing)) if left else ():
        before = left.pop(move.part, "")
        if before and move.was_on and move.work.did != "fit":
            did = "removed" if move.is_removal else "swapped"
            message = f"{move.part} was {did}, but {before} left it off the board"
            mend = f"correct the part, or add the fitting to {before}"
            yield Found(("work", move.work.row, "part"), move.part, message, mend)
