"""The steps that are left until a part that is off the board is on again: site, pads, bake, fitting."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, time, timedelta
from decimal import Decimal

from jobkit.jobs.bench import Bench
from jobkit.jobs.duration import DurationError, add
from jobkit.jobs.entries import Pad, Used, Work
from jobkit.jobs.job import Job
from jobkit.jobs.work_kinds import FITTINGS
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.heat.baking import bake_hours
from jobkit.reckon.heat.dryness import NOT_BAKED, Bakes, Fault, Source, sensitive
from jobkit.reckon.heat.fittings import pad_lack
from jobkit.reckon.heat.floor_life import FLOOR_LIFE_HOURS, floor_life
from jobkit.reckon.heat.part_places import in_order, moves, off_the_board
from jobkit.reckon.heat.profile_check import MAKES_JOINTS, Check
from jobkit.reckon.heat.removal_alloy import sites_to_clean
from jobkit.reckon.heat.warm import end_of
from jobkit.reckon.heat.work_log import check_words, heat_logs_in
from jobkit.reckon.progress.step import NextStep

_TRAY, _BOARD = Decimal(125), Decimal(90)
"""°C at which a package on a tray, and a whole board, are baked: the usual columns of J-STD-033."""


def rework_steps(job: Job, bench: Bench) -> tuple[NextStep, ...]:
    """List the steps left for parts with cold joints, then for those that are off the board; none where all is well.

    A site is prepared in any case; a part is fitted where the cause is known, the part is there (`[[used]]`), or the
    site was prepared for it.
    """
    if not job.work or job.outcome:
        return ()
    rework = _Rework.of(job, bench)
    off = (step for part in parts_to_fit(job) for step in _steps(part, rework))
    return (*_cold_joints(job, bench), *off)


def board_bake(job: Job, bench: Bench) -> NextStep | None:
    """Tell how to bake the board before the part at fault is heated; None where the bench does not ask for it."""
    since, today = bench.settings.board_bake_since, bench.today
    part = job.cause.part if job.cause else None
    package = sensitive(part, bench.designs.get(job.board.design or ""))
    if package is None or today is None or (since and today < since):
        return None
    if Bakes.of(job.work).before(None, datetime.max):
        return None
    hours = bake_hours(package.level, package.body_mm, _BOARD)
    words = f"bake the board before {part} is heated: {hours} h at {_BOARD} °C"
    return NextStep(words, Decimal(hours or 0) * 60, alone=True, did="bake")


def _cold_joints(job: Job, bench: Bench) -> Iterator[NextStep]:
    """Yield the parts to be soldered again: at their last soldering a joint stayed too cold, or melted too briefly."""
    last = {
        work.part: work for work in in_order(job.work) if work.did in MAKES_JOINTS or work.did == "remove"
    }
    if not any(work.heat for work in last.values()):
        return
    waived = {one.about for one in job.waivers if one.rule == "heat-outside"}
    for evidence in heat_logs_in(job, bench):
        part = evidence.work.part
        cold = next(filter(_is_cold, evidence.checks), None)
        is_last = last.get(part) is evidence.work and evidence.work.did in MAKES_JOINTS
        if cold and is_last and waived.isdisjoint({None, f"{cold.place} {cold.name}"}):
            yield NextStep(f"solder {part} again: {check_words(cold)}", did="reflow")


def _is_cold(check: Check) -> bool:
    """Tell whether a figure is below the lower end of its limit: only those of a joint have one."""
    low = check.limit.low if check.limit else None
    return (
        check.word == "out" and low is not None and check.value is not None and check.value.value < low.value
    )


def parts_to_fit(job: Job) -> Iterator[str]:
    """Name the parts that came off in this stay, but for those that were left off on purpose.

    A board that was tried since without a part is one that does without it.
    """
    tried = max((one.at for one in job.trials if one.at), default=datetime.min)
    removed = {move.part: move.work.at for move in moves(job.work) if move.is_removal}
    yield from (part for part in off_the_board(job.work) if (removed.get(part) or tried) >= tried)


class _Rework(NamedTuple):
    """What is known of all sites of a job: alloy on them, damaged pads, parts that wait to be fitted, bakes."""

    job: Job
    bench: Bench
    alloy: Mapping[str, str]
    pads: Mapping[str, Sequence[Pad]]
    waiting: Mapping[str, Sequence[Used]]
    bakes: Bakes

    @staticmethod
    def of(job: Job, bench: Bench) -> _Rework:
        return _Rework(
            job, bench, sites_to_clean(job.work), _pads_by_part(job), _waiting(job), Bakes.of(job.work)
        )

    def is_prepared(self, part: str) -> bool:
        """Tell whether work was done on the site of a part, or its pads are damaged: then it is to be fitted again."""
        prepared = any(one.part == part and one.did in {"prepare", "rebuild-pads"} for one in self.job.work)
        return prepared or part in self.pads


def _steps(part: str, rework: _Rework) -> Iterator[NextStep]:
    dry = _Dry.of(part, rework)
    if dry and dry.bake:
        yield dry.bake
    alloy = rework.alloy.get(part)
    if alloy:
        yield NextStep(f"prepare the site of {part}: clean it of {alloy}", did="prepare")
    lacking = [(pad, lack[0]) for pad in rework.pads.get(part, ()) if (lack := pad_lack(pad))]
    broken = [pad for pad, key in lacking if key == "repaired"]
    unread = [pad for pad, key in lacking if key == "reads"]
    if broken:
        yield NextStep(f"rebuild the pads of {part}: {_balls(broken)}", did="rebuild-pads")
    if broken or unread:
        yield NextStep(f"measure the rebuilt pads of {part}: {_balls([*broken, *unread])}")
    if dry:
        yield dry.fitting(part)
    elif rework.job.cause or part in rework.waiting or rework.is_prepared(part):
        yield NextStep(f"fit {part}", did="fit")


def _pads_by_part(job: Job) -> Mapping[str, Sequence[Pad]]:
    """List by part the damaged pads of the board that carry something, each as it was told last."""
    last = {(pad.part, (pad.ball or "").upper()): pad for pad in job.pads if not pad.of_package}
    found: dict[str, list[Pad]] = defaultdict(list)
    for pad in last.values():
        if pad.part and pad.damage in {"lifted", "torn-off"} and pad.carries != "no-connect":
            found[pad.part].append(pad)
    return found


def _balls(pads: Sequence[Pad]) -> str:
    return ", ".join(pad.ball or "one without a name" for pad in pads)


class _Dry(NamedTuple):
    """Whether the package that goes on is dry: the bake it needs, the end of one under way, until when it is dry."""

    bake: NextStep | None = None
    bakes_until: datetime | None = None
    dry_until: date | None = None

    @staticmethod
    def of(part: str, rework: _Rework) -> _Dry | None:
        """Find out from the parts used for it since it came off; None where nothing tells of its moisture."""
        job, bench, used = rework.job, rework.bench, rework.waiting.get(part, ())
        design = bench.designs.get(job.board.design or "")
        if bench.today is None:
            return None
        source = Source.of(part, used, design, bench, bench.today, is_donor=False)
        if source is None:
            return None
        now = datetime.combine(bench.today, time.max)
        running = rework.bakes.running(part, now)
        if running:
            return _Dry(bakes_until=running)
        bakes = rework.bakes.before(part, now)
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


def _waiting(job: Job) -> Mapping[str, Sequence[Used]]:
    """List by place the parts used that are not on the board yet: those written down since the last fitting there."""
    fitted: dict[str | None, datetime] = {}
    for one in job.work:
        if one.did in FITTINGS and one.at:
            fitted[one.part] = max(one.at, fitted.get(one.part, one.at))
    found: dict[str, list[Used]] = defaultdict(list)
    for took in job.used:
        if took.part and (took.at is None or took.at > fitted.get(took.part, datetime.min)):
            found[took.part].append(took)
    return found


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
