"""Packages that were soldered before they were dry: past their floor life, not baked, or not for long enough.

J-STD-033 asks for a dry board and dry packages before the body of any package goes above 200 °C in rework. Soldering
counts as going above 200 °C, since the usual lead-free solder melts at 217 °C; jobkit does not read it from a heat log.
A part off a donor board, and a board that came from a client, count as wet until they are baked.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal
from operator import itemgetter

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design
from jobkit.jobs.duration import DurationError, add
from jobkit.jobs.entries import Used, Work
from jobkit.jobs.job import Job
from jobkit.jobs.stock import Item
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.heat.baking import BAKED_BEFORE_USE, bake_hours, needs_bake
from jobkit.reckon.heat.fittings import used_by_fitting
from jobkit.reckon.heat.floor_life import FLOOR_LIFE_HOURS, counted_from, floor_life
from jobkit.reckon.heat.part_places import in_order
from jobkit.reckon.heat.warm import end_of, is_soldered

_LAST = 4
"""So many bakes of a part are looked at: a package is dry after the last of them, or not at all."""

LIFE_OVER, NOT_BAKED, TOO_SHORT = "floor life over", "not baked", "baked too short"


class Sensitive(NamedTuple):
    """A package that takes up moisture: its level by J-STD-020, and how thick its body is."""

    level: str
    body_mm: Decimal | None

    def bake_hours(self, bake: Work, past_hours: float | None = None) -> int | None:
        """Tell how many hours a bake should last in its oven; None where that oven is unknown, or too cool to dry."""
        if bake.oven is None:
            return None
        return bake_hours(self.level, self.body_mm, bake.oven.value, past_hours)


class Wet(NamedTuple):
    """A package that was soldered before it was dry, and by which work.

    `since` is the day from which its floor life counts, `bake` the bake that was too short or too long ago, or still
    ran, `hours` how long it should have been. `on_board` is a package that was heated where it is on the board.
    """

    fault: str
    part: str
    work: Work
    package: Sensitive
    since: date | None = None
    bake: Work | None = None
    hours: int | None = None
    on_board: bool = False


def sensitive(part: str | None, design: Design | None, item: Item | None = None) -> Sensitive | None:
    """Find level and thickness of a part, those of the stock item first; None where it needs no bake, or is unknown."""
    package = design.package(part) if design else None
    known = [one for one in (item, package) if one]
    level = next((one.moisture for one in known if one.moisture), None)
    body = next((one.body_mm for one in known if one.body_mm), None)
    return Sensitive(level, body) if level and needs_bake(level) else None


def wet_fittings(job: Job, bench: Bench) -> Iterator[Wet]:
    """Find the packages from stock or a donor that were fitted before they were dry."""
    design = bench.designs.get(job.board.design or "")
    came_with = used_by_fitting(job.work, job.used) if job.work else {}
    bakes = Bakes.of(job.work)
    for work in in_order(job.work):
        if work.did in {"fit", "swap"} and is_soldered(work) and work.at and work.came != "same":
            used, is_donor = came_with.get(work.path, ()), work.came == "donor"
            source = Source.of(work.part, used, design, bench, work.at.date(), is_donor=is_donor)
            if source and (found := source.fault_at(work.at, bakes.before(work.part, work.at))):
                found = bakes.explained(found, work.part, work.at)
                yield Wet(found.fault, work.part or "", work, source.package, source.opened, *found[1:])


class Fault(NamedTuple):
    """Why a package is not dry: the bake that was too short, too long ago or still ran, and how long it should be."""

    fault: str
    bake: Work | None = None
    hours: int | None = None


class Source(NamedTuple):
    """Where a package comes from: a bag that was opened on a day, or, without one, a place where it got wet."""

    package: Sensitive
    opened: date | None

    @staticmethod
    def of(
        part: str | None,
        used: Iterable[Used],
        design: Design | None,
        bench: Bench,
        on: date,
        *,
        is_donor: bool,
    ) -> Source | None:
        """Find out where a package comes from; None where it needs no bake, or where nothing tells its bag."""
        for took in used:
            item = bench.stock.get(took.item or "")
            found = sensitive(part, design, item)
            if found and (took.from_donor or is_donor):
                return Source(found, None)
            if found and item and item.moisture and took.source in {None, "", "stock"}:
                opened = _opened(item, took, on)
                return Source(found, opened) if opened or found.level == BAKED_BEFORE_USE else None
        found = sensitive(part, design) if is_donor else None
        return Source(found, None) if found else None

    def fault_at(self, at: datetime, bakes: Sequence[Work]) -> Fault | None:
        """Say why the package is not dry at a moment, after these bakes of it; None where it is."""
        if self.opened and self.opened > at.date():
            return None
        ends = _life_ends(self.opened, self.package.level)
        if ends and at.date() <= ends:
            return None
        if not bakes:
            return Fault(LIFE_OVER if ends else NOT_BAKED)
        return _fault_of_bakes(bakes, [self.package], at, ends)


class Bakes(NamedTuple):
    """The bakes of a job by part, those of the whole board under None, in the order in which they were over."""

    by_part: Mapping[str | None, Sequence[tuple[datetime, Work]]]

    @staticmethod
    def of(work: Iterable[Work]) -> Bakes:
        """Gather the bakes of which both hours and time are known."""
        found: dict[str | None, list[tuple[datetime, Work]]] = defaultdict(list)
        for one in work:
            if one.did == "bake" and one.hours and (end := end_of(one)):
                found[one.part].append((end, one))
        for bakes in found.values():
            bakes.sort(key=itemgetter(0))
        return Bakes(found)

    def before(self, part: str | None, at: datetime) -> list[Work]:
        """List the last bakes of a part that were over at a moment."""
        bakes = self.by_part.get(part, ())
        count = bisect_right(bakes, at, key=itemgetter(0))
        return [one for _, one in bakes[max(count - _LAST, 0) : count]]

    def explained(self, fault: Fault, part: str | None, at: datetime) -> Fault:
        """Add to a package that was not baked the bake that had begun and was not over."""
        if fault.fault != NOT_BAKED:
            return fault
        under_way = (one for end, one in self.by_part.get(part, ()) if one.at and one.at <= at < end)
        return fault._replace(bake=next(under_way, None))

    def running(self, part: str, at: datetime) -> datetime | None:
        """Tell when a bake of a part will be over that is not over at a moment."""
        bakes = self.by_part.get(part, ())
        return bakes[-1][0] if bakes and bakes[-1][0] > at else None


def wet_board(job: Job, bench: Bench) -> Iterator[Wet]:
    """Find the first soldering in which packages of the board were heated before it was dry, of each fault one."""
    design, told = bench.designs.get(job.board.design or ""), set()
    bakes = Bakes.of(job.work)
    for work in in_order(job.work) if design else ():
        since = bench.settings.board_bake_since
        if work.at is None or not is_soldered(work) or (since and work.at.date() < since):
            continue
        heated = {part: one for part in _heated(work) if (one := sensitive(part, design))}
        found = _board_fault(bakes.before(None, work.at), work.at, heated.values()) if heated else None
        if found and found.fault not in told:
            told.add(found.fault)
            found = bakes.explained(found, None, work.at)
            part = next(iter(heated))
            yield Wet(found.fault, part, work, heated[part], None, found.bake, found.hours, on_board=True)


def _heated(work: Work) -> Iterator[str]:
    """Name the packages that a piece of work heats on the board: not the one that it brings."""
    if work.part and work.did != "fit":
        yield work.part
    yield from work.near


def _board_fault(bakes: Sequence[Work], at: datetime, packages: Iterable[Sensitive]) -> Fault | None:
    return _fault_of_bakes(bakes, [*packages], at, None) if bakes else Fault(NOT_BAKED)


def _fault_of_bakes(
    bakes: Sequence[Work], packages: Sequence[Sensitive], at: datetime, life_ended: date | None
) -> Fault | None:
    """Say why packages are not dry after these bakes: none was long enough, or the last that was is too long ago."""
    needed = [_hours_needed(bake, packages, life_ended) for bake in bakes]
    enough = [bake for bake, hours in zip(bakes, needed, strict=True) if hours and (bake.hours or 0) >= hours]
    if not enough:
        return Fault(TOO_SHORT, bakes[-1], needed[-1])
    last, lives = (
        enough[-1],
        [FLOOR_LIFE_HOURS[one.level] for one in packages if one.level in FLOOR_LIFE_HOURS],
    )
    end = end_of(last)
    is_over = bool(end and lives) and at - (end or at) > timedelta(hours=min(lives))
    return Fault(LIFE_OVER, last) if is_over else None


def _hours_needed(bake: Work, packages: Sequence[Sensitive], life_ended: date | None) -> int | None:
    """Tell how long a bake should be for the package that needs the longest; None where that is not known."""
    past = None
    if life_ended and bake.at:
        past = (bake.at - datetime.combine(life_ended, datetime.min.time())).total_seconds() / 3600
    hours = [one.bake_hours(bake, past) for one in packages]
    known = [one for one in hours if one is not None]
    return max(known) if len(known) == len(hours) else None


def _opened(item: Item, took: Used, on: date) -> date | None:
    """Tell from which day the floor life of what was taken counts; None where its bag is not known, or sealed."""
    lot = item.lot(took.lot) if took.lot else None
    if lot:
        return counted_from(lot.opened, lot.baked, on)
    return None if item.lots else counted_from(item.opened, item.baked, on)


def _life_ends(opened: date | None, level: str) -> date | None:
    life = floor_life(level)
    try:
        return add(opened, life) if opened and life else None
    except DurationError:
        return None
