"""What a reading is taken for where the person says no more than a point and a number.

The defaults, each echoed when it is followed and each overruled by a word on the command line:

- **stage**: `arrival` until something is done to the board (any work but inspecting, an injection, a part used). After
  that `work`; and `proof` as soon as proof is being taken since the last soldering (a proof reading is there, a walk of
  the proof was begun, or the job is finished).
- **kind**: what the unit tells, where it tells more than one kind that for which the board file has a limit at this
  point. A bare number goes with the units of the other values in the call; else it is what the board file wants there
  of a cold board, resistance before all. Where the last thing written that day was under power, it is taken only where
  there is no choice.
- **state**: the board file's, else cold for what is measured without power and powered for the rest. A board is warm
  instead of cold until the bench's cooling time has passed after heat.
- **to, red_on**: the board file's, where all its limits for this kind at this point name one.
- **removed**: the packages that were soldered off and not fitted again.
- **meter**: the one used last for this kind in this job, else the one these commands were told last for it, else the
  one used last in this job that has a range for it, else the first of meters.toml that has one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime, timedelta

from jobkit.jobs.design import Point, PointLimit
from jobkit.jobs.entries import Reading
from jobkit.jobs.job import Job
from jobkit.jobs.meter import Meter
from jobkit.reckon.heat import part_places
from jobkit.reckon.heat.warm import end_of, is_soldered, is_warming
from jobkit.units.errors import MisuseError
from jobkit.units.slip import either

COLD_KINDS = ("resistance", "diode", "capacitance", "inductance")
"""What is measured on a board without power."""

STAGES = ("arrival", "work", "proof")
STATES = ("cold", "warm", "powered")


class HabitError(MisuseError):
    """What was typed leaves open what was measured."""


def default_stage(job: Job, *, proving: bool = False) -> str:
    """Tell at which stage a reading is taken; `proving` where a walk of the proof was begun for this job."""
    since = last_soldered(job)
    proofs = [one for one in job.readings if one.stage == "proof" and not _is_before(one.at, since)]
    if proving or proofs or job.dates.finished or job.outcome:
        return "proof"
    return "work" if _was_worked_on(job) else "arrival"


def default_kind(
    point: Point | None, told: tuple[str, ...], *, cold: bool, others: tuple[str, ...] = ()
) -> str:
    """Tell what was measured; `told` are the kinds that the unit allows, none where there is no unit.

    `cold` where the board has no power; `others` are the kinds told by the other values of the call. Raises HabitError
    where it cannot be told.
    """
    wanted = tuple(dict.fromkeys(limit.kind for limit in _limits(point) if limit.kind))
    if told:
        return next((kind for kind in told if kind in wanted), told[0])
    with_others = [kind for kind in others if kind in wanted]
    if with_others:
        return with_others[0]
    name = point.name if point else "this point"
    likely = _cold_kinds_limited(point) if cold else wanted
    if cold and ("resistance" in likely or not wanted):
        return "resistance"
    if len(likely) == 1:
        return likely[0]
    if len(wanted) == 1:
        return wanted[0]
    choice = either(wanted) if wanted else "its kind"
    raise HabitError(
        f"a bare number at {name} could be more than one thing", f"type its unit, or use --kind ({choice})"
    )


def default_state(point: Point | None, kind: str, *, warm: bool) -> str:
    """Tell how the board was; `warm` where it has not cooled down after heat."""
    states = {limit.state for limit in _limits(point) if limit.kind == kind and limit.state}
    state = states.pop() if len(states) == 1 else "cold" if kind in COLD_KINDS else "powered"
    return "warm" if state == "cold" and warm else state


def default_leads(point: Point | None, kind: str) -> tuple[str | None, str | None]:
    """Tell `to` and `red_on`: those that every limit for this kind at this point names."""
    limits = [limit for limit in _limits(point) if limit.kind == kind]
    ends, reds = {limit.to for limit in limits}, {limit.red_on for limit in limits}
    return ends.pop() if len(ends) == 1 else None, reds.pop() if len(reds) == 1 else None


def default_meter(job: Job, kind: str, remembered: str | None, meters: Mapping[str, Meter]) -> str | None:
    """Tell which meter it was; None where meters.toml has none for this kind."""
    by_time = sorted((one for one in job.readings if one.meter), key=_moment, reverse=True)
    for_kind = [one.meter for one in by_time if one.kind == kind]
    if for_kind:
        return for_kind[0]
    if remembered in meters:
        return remembered
    for one in by_time:
        meter = meters.get(one.meter or "")
        if meter and _serves(meter, kind):
            return one.meter
    return next((name for name, meter in meters.items() if _serves(meter, kind)), None)


def off_the_board(job: Job) -> tuple[str, ...]:
    """Name the packages that were soldered off and have not been fitted again."""
    return part_places.off_the_board(job.work, job.intake.missing)


def warm_until(job: Job, cooling_minutes: int) -> datetime | None:
    """Tell when the board will have cooled down after the last heat; None where there was none."""
    ends = [end for work in job.work if is_warming(work) and (end := end_of(work))]
    return max(ends) + timedelta(minutes=cooling_minutes) if ends else None


def last_soldered(job: Job) -> datetime | None:
    """Tell when a part was last soldered: what was proved before that has to be proved again."""
    return max((work.at for work in job.work if work.at and is_soldered(work)), default=None)


def is_under_power(job: Job, now: datetime) -> bool:
    """Tell whether the board has power, as far as is written: its last reading or trial of the day was under power."""
    since = last_soldered(job)
    seen = [(one.at, one.state == "powered") for one in job.readings if one.at]
    seen += [(one.at, True) for one in job.trials if one.at]
    today = [(at, powered) for at, powered in seen if at.date() == now.date() and not _is_before(at, since)]
    return bool(today) and max(today)[1]


def _was_worked_on(job: Job) -> bool:
    return bool(job.injections or job.used) or any(work.did != "inspect" for work in job.work)


def _is_before(at: datetime | None, since: datetime | None) -> bool:
    return at is not None and since is not None and at < since


def _limits(point: Point | None) -> Iterable[PointLimit]:
    return point.limits if point else ()


def _cold_kinds_limited(point: Point | None) -> tuple[str, ...]:
    return tuple(dict.fromkeys(_cold_kinds(point)))


def _cold_kinds(point: Point | None) -> Iterator[str]:
    for limit in _limits(point):
        if limit.kind in COLD_KINDS and limit.state != "powered":
            yield limit.kind


def _moment(reading: Reading) -> datetime:
    return reading.at or datetime.min


def _serves(meter: Meter, kind: str) -> bool:
    return any(each.kind == kind and not each.four_wire for each in meter.ranges)
