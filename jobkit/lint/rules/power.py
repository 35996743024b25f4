"""Power: what must be read before a board gets power, and how much voltage a rail tolerates."""

from __future__ import annotations

from bisect import bisect_left
from collections import deque
from collections.abc import Iterator, Mapping
from datetime import datetime
from decimal import Decimal
from itertools import groupby
from operator import itemgetter

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design, Rail
from jobkit.jobs.entries import Reading, Seen, Trial, Work
from jobkit.jobs.finding import Place
from jobkit.jobs.job import Job
from jobkit.jobs.memoise import memoise_last
from jobkit.lint.registry import Found, rule
from jobkit.reckon.heat.warm import is_soldered
from jobkit.reckon.readings.cold import ColdReadings, is_cold
from jobkit.reckon.readings.limits import QuickVerdict, known_verdict_word
from jobkit.reckon.readings.of_job import quick_verdicts

_NEEDS_POWER = frozenset(("voltage", "current", "power", "ripple", "frequency"))
_SHOWN = 8
"""So many names are enough to see what is meant."""


_Powered = Reading | Trial | Seen
"""What puts a board under power: the entry that says so."""


@rule("error")
def resistance_before_power(job: Job, bench: Bench) -> Iterator[Found]:
    """A board was powered after soldering before its rails were read cold.

    What it finds: after a part was removed, fitted, swapped or reflowed, the first powered reading, trial or powered
    check of the board file, if one of these was not read before it, cold and within its limit: each point that the
    bench's proof policy for this kind of board names under `cold_resistance`, and the points on the rails that feed the
    part.

    Why it matters: a solder bridge or a reversed part shows as a low resistance; with power it burns.

    How to fix: read the rails first, cold, every time. If it is too late, add a waiver with the reason.

    Example: `did = "fit"`, `part = "U3"`, then a [[trial]] with no resistance of VMEM between them.
    """
    soldered = [(work.at, row, work) for row, work in enumerate(job.work) if work.at and is_soldered(work)]
    if not soldered or job.is_broken("reading") or job.is_broken("work"):
        return
    design = bench.designs.get(job.board.design or "")
    soldered.sort(key=itemgetter(0))
    cold = ColdReadings(quick_verdicts(job, bench))
    done = 0
    for at, _, powered in sorted((one.at, one.path, one) for one in _powered(job, design) if one.at):
        begun, done = done, bisect_left(soldered, at, key=itemgetter(0))
        between = [work for _, _, work in sorted(soldered[begun:done], key=itemgetter(1))]
        if between:
            yield from _unread(job, bench, between, powered, cold)


def _powered(job: Job, design: Design | None) -> Iterator[_Powered]:
    for reading in job.readings:
        if reading.state == "powered" or (reading.state is None and reading.kind in _NEEDS_POWER):
            yield reading
    yield from job.trials
    checks = {one.name for one in design.checks if one.state == "powered"} if design and job.seen else ()
    for seen in job.seen:
        if seen.check in checks:
            yield seen


def _in_words(powered: _Powered) -> str:
    if isinstance(powered, Reading):
        return f"the {powered.kind} of {powered.point}"
    return f'the trial "{powered.run}"' if isinstance(powered, Trial) else f'the check "{powered.check}"'


def _unread(
    job: Job, bench: Bench, soldered: list[Work], powered: _Powered, cold: ColdReadings
) -> Iterator[Found]:
    last = max(soldered, key=lambda work: work.at or datetime.min)
    assert last.at is not None
    assert powered.at is not None
    design = bench.designs.get(job.board.design or "")
    points = dict.fromkeys((*_policy_points(job, bench, design), *_feeding_points(design, soldered)))
    known = cold.between(last.at, powered.at)
    unread = [point for point in points if point not in known or _is_out(known[point], bench, design)]
    if unread:
        parts = list(dict.fromkeys(work.part or "" for work in soldered))
        message = (
            f"powered for {_in_words(powered)} after soldering on {_and(parts)}, "
            f"before {_and(unread)} had been read cold and within limits"
        )
        mend = "read them before the board gets power; for the past, add a waiver with the reason"
        yield Found((*powered.path, "at"), last.part or "", message, mend)


def _policy_points(job: Job, bench: Bench, design: Design | None) -> Iterator[str]:
    policy = bench.settings.proof.get(job.board.kind or "")
    for point in policy.cold_resistance if policy else ():
        if design is None or not design.points or design.point(point):
            yield point


def _feeding_points(design: Design | None, soldered: list[Work]) -> Iterator[str]:
    """Name the points that have a limit for resistance, on a rail that feeds one of the parts."""
    if design is None:
        return
    rails = {rail for work in soldered for rail in _rails_feeding(design).get(work.part, ())}
    by_rail = _cold_points(design) if rails else {}
    yield from (name for _, name in sorted(point for rail in rails for point in by_rail.get(rail, ())))


@memoise_last
def _rails_feeding(design: Design) -> Mapping[str | None, set[str | None]]:
    """Name the rails that feed each part."""
    rails: dict[str | None, set[str | None]] = {}
    for rail in design.rails:
        for part in rail.feeds:
            rails.setdefault(part, set()).add(rail.name)
    return rails


@memoise_last
def _cold_points(design: Design) -> Mapping[str | None, list[tuple[int, str]]]:
    """List by rail its points that have a limit for the resistance of a cold board, each with its place in the file."""
    points: dict[str | None, list[tuple[int, str]]] = {}
    for place, point in enumerate(design.points):
        if point.name and any(is_cold(limit) for limit in point.limits):
            points.setdefault(point.rail, []).append((place, point.name))
    return points


def _is_out(one: QuickVerdict, bench: Bench, design: Design | None) -> bool:
    """Tell whether a reading shows that it is not within its limit; one without a time shows nothing."""
    if one.reading.at is None or (one.limit and one.limit.empty):
        return False
    return known_verdict_word(one, bench, design) == "out"


def _and(names: list[str]) -> str:
    if len(names) > _SHOWN:
        return f"{', '.join(names[:_SHOWN])} and {len(names) - _SHOWN} more"
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


@rule("error")
def inject_volts(job: Job, bench: Bench) -> Iterator[Found]:
    """More voltage was injected than the lowest rail within reach tolerates.

    What it finds: an [[inject]] whose `volts` are above the lowest nominal voltage of the rail itself and of every rail
    that the board file says is made from it, directly or through others: through a shorted switch the voltage reaches
    them.

    Why it matters: the short is found, and the processor behind it is destroyed.

    How to fix: set the supply to that nominal voltage or below, and let the current do the work.

    Example: `volts = "1.8 V"` into V12, from which VCORE (nominal 1.00 V) is made.
    """
    design = bench.designs.get(job.board.design or "") if job.injections else None
    lowest = _lowest_within_reach(design) if design else {}
    for inject in job.injections:
        reached = lowest.get(inject.rail)
        if reached and reached.nominal and inject.volts and inject.volts.value > reached.nominal.value:
            by_way = f", which {inject.rail} may reach," if reached.name != inject.rail else ""
            message = (
                f"{inject.volts.text} into {inject.rail} is more than {reached.name}{by_way} "
                f"bears ({reached.nominal.text})"
            )
            mend = f"inject {reached.nominal.text} at the most"
            yield Found((*inject.path, "volts"), inject.rail or "", message, mend)


@memoise_last
def _lowest_within_reach(design: Design) -> Mapping[str | None, Rail]:
    """Find for each rail the lowest nominal voltage of itself and of all that is made from it; of equals the nearest.

    From the lowest rail on, each goes up to what it is made from, and no farther than where a lower one has been.
    """
    above: dict[str | None, list[str | None]] = {}
    for rail in design.rails:
        above.setdefault(rail.name, []).append(rail.made_from)
    lowest: dict[str | None, Rail] = {}
    rails = sorted((rail for rail in design.rails if rail.nominal), key=_nominal)
    for _, alike in groupby(rails, key=_nominal):
        to_do = deque((rail.name, rail) for rail in alike)
        while to_do:
            name, rail = to_do.popleft()
            if name not in lowest:
                lowest[name] = rail
                to_do.extend((one, rail) for one in above.get(name, ()) if one is not None)
    return lowest


def _nominal(rail: Rail) -> Decimal:
    return rail.nominal.value if rail.nominal else Decimal(0)


@rule("error")
def supply_into_core(job: Job, bench: Bench) -> Iterator[Found]:
    """A repair was quoted after a shorted high-side switch without a reading of the processor's rail.

    What it finds: a job that was quoted or agreed to, where the cause is a short in one of the switches that make the
    processor's rail, or an injection warmed one of them first, and no point on that rail had been read by the day of
    the quote. The processor's rail is the one marked `core` in the board file, or the one that feeds its `processor`.

    Why it matters: through a shorted high-side switch the supply voltage may have reached the processor; then the
    processor is dead, and the quote is worthless.

    How to fix: read the resistance of the processor's rail before quoting, on every such board.

    Example: cause Q214, "power stage shorted", quoted on 20 October, VCORE first read on 22 October.
    """
    day = job.dates.quoted or job.dates.agreed
    design = bench.designs.get(job.board.design or "")
    if day is None or design is None or job.is_broken("reading"):
        return
    for rail in _core_rails(design):
        switch, place = _shorted(job, rail)
        if not switch:
            continue
        points = {rail.name, *(point.name for point in design.points if point.rail == rail.name)}
        looked = any(one.point in points and (one.at is None or one.at.date() <= day) for one in job.readings)
        if not looked:
            message = (
                f"{switch} was shorted, which may have let the supply into {rail.name}, and no reading of "
                f"{rail.name} was taken by {day}, the day of the quote"
            )
            yield Found(place, switch, message, f"read {rail.name} before quoting")


def _core_rails(design: Design) -> list[Rail]:
    marked = [rail for rail in design.rails if rail.core]
    return marked or [rail for rail in design.rails if design.processor and design.processor in rail.feeds]


def _shorted(job: Job, rail: Rail) -> tuple[str, Place]:
    """Name the switch of a rail that was shorted, and where the job says so; "" for none."""
    if job.cause and job.cause.part in rail.through and "short" in (job.cause.fault or "").casefold():
        return job.cause.part or "", ("cause", "part")
    for inject in job.injections:
        if inject.hottest in rail.through:
            return inject.hottest or "", (*inject.path, "hottest")
    return "", ()
