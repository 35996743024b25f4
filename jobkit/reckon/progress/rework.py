"""The steps that are left until a part that is off the board is on again: site, pads, bake, fitting."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import NamedTuple

from jobkit.jobs.bench import Bench
from jobkit.jobs.duration import DurationError, add
from jobkit.jobs.entries import Pad, Used, Work
from jobkit.jobs.job import Job
from jobkit.reckon.heat.baking import bake_hours
from jobkit.reckon.heat.dryness import NOT_BAKED, Fault, Source, bakes_before, sensitive
from jobkit.reckon.heat.fittings import pad_lack
from jobkit.reckon.heat.floor_life import FLOOR_LIFE_HOURS, floor_life
from jobkit.reckon.heat.part_places import moves, off_the_board
from jobkit.reckon.heat.removal_alloy import sites_to_clean
from jobkit.reckon.heat.warm import end_of
from jobkit.reckon.progress.step import NextStep

_TRAY, _BOARD = Decimal(125), Decimal(90)
"""°C at which a package on a tray, and a whole board, are baked: the usual columns of J-STD-033."""


def rework_steps(job: Job, bench: Bench) -> tuple[NextStep, ...]:
    """List the steps left for the parts that are off the board, the first of them first; none where all are on.

    A site is prepared in any case; a part is fitted where the cause is known, or the part is there (`[[used]]`).
    """
    if not job.work or job.outcome:
        return ()
    return tuple(step for part in _to_fit(job) for step in _steps(part, job, bench))


def board_bake(job: Job, bench: Bench) -> NextStep | None:
    """Tell how to bake the board before the part at fault is heated; None where the bench does not ask for it."""
    since, today = bench.settings.board_bake_since, bench.today
    part = job.cause.part if job.cause else None
    package = sensitive(part, bench.designs.get(job.board.design or ""))
    if package is None or today is None or (since and today < since):
        return None
    if bakes_before(job.work, None, datetime.max):
        return None
    hours = bake_hours(package.level, package.body_mm, _BOARD)
    words = f"bake the board before {part} is heated: {hours} h at {_BOARD} °C"
    return NextStep(words, Decimal(hours or 0) * 60, alone=True, did="bake")


def _to_fit(job: Job) -> Iterator[str]:
    """Name the parts that came off in this stay, but for those that were left off on purpose.

    A board that was tried since without a part is one that does without it.
    """
    tried = max((one.at for one in job.trials if one.at), default=datetime.min)
    removed = {move.part: move.work.at for move in moves(job.work) if move.is_removal}
    yield from (part for part in off_the_board(job.work) if (removed.get(part) or tried) >= tried)


def _steps(part: str, job: Job, bench: Bench) -> Iterator[NextStep]:
    dry = _Dry.of(part, job, bench)
    if dry and dry.bake:
        yield dry.bake
    alloy = sites_to_clean(job.work).get(part)
    if alloy:
        yield NextStep(f"prepare the site of {part}: clean it of {alloy}", did="prepare")
    lacking = [(pad, lack[0]) for pad in _pads(part, job) if (lack := pad_lack(pad))]
    broken = [pad for pad, key in lacking if key == "repaired"]
    unread = [pad for pad, key in lacking if key == "reads"]
    if broken:
        yield NextStep(f"rebuild the pads of {part}: {_balls(broken)}", did="rebuild-pads")
    if broken or unread:
        yield NextStep(f"measure the rebuilt pads of {part}: {_balls([*broken, *unread])}")
    if dry:
        yield dry.fitting(part)
    elif job.cause or _waiting(part, job):
        yield NextStep(f"fit {part}", did="fit")


def _pads(part: str, job: Job) -> list[Pad]:
    """List the damaged pads of a site that carry something, each as it was told last."""
    last = {(pad.ball or "").upper(): pad for pad in job.pads if pad.part == part and not pad.of_package}
    return [
        pad for pad in last.values() if pad.damage in {"lifted", "torn-off"} and pad.carries != "no-connect"
    ]


def _balls(pads: Sequence[Pad]) -> str:
    return ", ".join(pad.ball or "one without a name" for pad in pads)


class _Dry(NamedTuple):
    """Whether the package that goes on is dry: the bake it needs, the end of one under way, until when it is dry."""

    bake: NextStep | None = None
    bakes_until: datetime | None = None
    dry_until: date | None = None

    @staticmethod
    def of(part: str, job: Job, bench: Bench) -> _Dry | None:
        """Find out from the parts used for it since it came off; None where nothing tells of its moisture."""
        used = _waiting(part, job)
        design = bench.designs.get(job.board.design or "")
        source = Source.of(part, used, design, bench, is_donor=False)
        if source is None or bench.today is None:
            return None
        now = datetime.combine(bench.today, time.max)
        running = [
            one for one in job.work if one.did == "bake" and one.part == part and (end_of(one) or now) > now
        ]
        if running:
            return _Dry(bakes_until=end_of(running[-1]))
        bakes = bakes_before(job.work, part, now)
        fault = source.fault_at(now, bakes)
        return _Dry(_bake(part, used, source, fault)) if fault else _Dry(dry_until=_dry_until(source, bakes))

    def fitting(self, part: str) -> NextStep:
        """Say when to fit the package."""
        if self.bakes_until:
            return NextStep(
                f"fit {part}", did="fit", waits_for=f"its bake, until {self.bakes_until:%Y-%m-%d %H:%M}"
            )
        by = f" by {self.dry_until}, when its floor life ends" if self.dry_until else ""
        return NextStep(f"fit {part}{by}", did="fit")


def _waiting(part: str, job: Job) -> list[Used]:
    """List the parts used for a place that are not on the board yet: those written down since the last fitting."""
    fitted = [one.at for one in job.work if one.part == part and one.did in {"fit", "swap"} and one.at]
    last = max(fitted, default=datetime.min)
    return [one for one in job.used if one.part == part and (one.at is None or one.at > last)]


def _bake(part: str, used: Sequence[Used], source: Source, fault: Fault) -> NextStep:
    hours = bake_hours(source.package.level, source.package.body_mm, _TRAY)
    donor = next((one.source for one in used if one.from_donor), None)
    whose = f" from donor {donor}" if donor else ""
    why = "" if fault.fault == NOT_BAKED else f" ({fault.fault})"
    words = f"bake {part}{whose}: {hours} h at {_TRAY} °C on a tray{why}"
    return NextStep(words, Decimal(hours or 0) * 60, alone=True, did="bake", on_a_tray=True)


def _dry_until(source: Source, bakes: Sequence[Work]) -> date | None:
    """Tell on which day a dry package has to be baked again; None for one without a floor life."""
    hours = FLOOR_LIFE_HOURS.get(source.package.level)
    end = end_of(bakes[-1]) if bakes else None
    if end and hours:
        return (end + timedelta(hours=hours)).date()
    life = floor_life(source.package.level)
    try:
        return add(source.opened, life) if source.opened and life else None
    except DurationError:
        return None
