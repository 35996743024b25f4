"""The possible causes of a job: those of the board file, those that follow from its map, and those of the job itself.

What is our own here has no source: how a cause that the board file does not list compares with those that it lists.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from math import fsum

from jobkit.jobs.design import Design, Memory, PossibleCause, Rail
from jobkit.jobs.entries import Pad, Work
from jobkit.jobs.job import Job
from jobkit.jobs.work_kinds import REPAIRS
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.heat.part_places import left_off
from jobkit.reckon.suspects.symptoms import SUREST, looks_damaged, single_lines, warms_first
from jobkit.units.limit import Limit

_SEEN, _WARM = 0.3, 0.9
"""With which probability the eye sees what is wrong with a part, and a shorted part is the one that grows warm."""

_PACKAGE, _CHANNEL, _RAIL, _PROCESSOR = 0.9, 0.9, 0.4, 0.3
"""With which probability a cause that follows from the map makes a channel fail."""

_LINES_OF_JOINTS, _LINES_OF_ONE, _LINES_OF_RAIL = 0.6, 0.8, 0.05
"""With which probability a failing channel then fails on single data lines."""

_SHORTS = 0.2
"""With which probability a part that is at fault pulls down the rail that feeds it."""

_PADS = {"torn-off": 20.0, "lifted": 20.0, "mask-gone": 3.0, "": 3.0}
"""How often damaged pads that are not repaired turn out to be the cause, against the other causes."""

_SOLDERED = REPAIRS - {"thermal"}


class Candidate(NamedTuple):
    """A possible cause. `weight` is how often it happens against the others; `origin` says who names it."""

    name: str
    part: str | None
    weight: float
    affects: Mapping[str, float]
    origin: str = "board file"


def candidates_of(job: Job, design: Design, pad_limit: Limit | None = None) -> tuple[Candidate, ...]:
    """List the possible causes of a job on a documented design.

    The mean weight of the board file's causes is the measure of those that it does not list.
    """
    listed = [_listed(cause, design) for cause in design.causes if cause.name]
    measure = fsum(one.weight for one in listed) / len(listed) if listed else 1.0
    known = {one.part for one in listed}
    derived = [*_from_map(design, known, measure), *_from_job(job, design, measure, pad_limit)]
    names = {one.name for one in listed}
    return (*listed, *(one for one in derived if one.name not in names))


def certain(design: Design) -> int:
    """Count the probabilities of a board file that are so sure that they are taken as a little less."""
    return sum(float(value) > SUREST for cause in design.causes for _, value in cause.affects)


def _listed(cause: PossibleCause, design: Design) -> Candidate:
    affects = {name: min(float(value), SUREST) for name, value in cause.affects if value > 0}
    shown = {**_shown(cause.part, design, affects), **_shorted(cause.part, design, affects)}
    return Candidate(cause.name or "", cause.part, float(cause.weight), {**shown, **affects})


def _shorted(part: str | None, design: Design, affects: Iterable[str] = ()) -> dict[str, float]:
    """Say at which points a part can pull its rail down; what the board file says of a point stands."""
    rails = {rail.name for rail in design.rails if part in rail.feeds}
    said = {name.split(" ")[0] for name in affects}
    points = (point.name for point in design.points if point.rail in rails)
    return {f"{point} resistance low": _SHORTS for point in points if point and point not in said}


def _shown(part: str | None, design: Design, affects: Iterable[str]) -> dict[str, float]:
    """Say what a part that is at fault shows to the eye, to a camera and in a memory log."""
    if part is None:
        return {}
    single = (
        _LINES_OF_JOINTS
        if part in {one.part for one in design.memory} | {design.processor}
        else _LINES_OF_RAIL
    )
    channels = [name for name in affects if name in design.channel_names]
    return {
        looks_damaged(part).name: _SEEN,
        warms_first(part).name: _WARM,
        **{single_lines(channel).name: single for channel in channels},
    }


def _derived(
    name: str,
    part: str | None,
    weight: float,
    affects: Mapping[str, float],
    lines: float,
    origin: str = "map",
) -> Candidate:
    """Make a cause that follows from the map; of its `affects` those that are channels fail on single lines."""
    shown = {single_lines(channel).name: lines for channel in affects if " " not in channel}
    eye = {looks_damaged(part).name: _SEEN} if part else {}
    return Candidate(name, part, weight, {**eye, **shown, **affects}, origin)


def _from_map(design: Design, known: set[str | None], measure: float) -> Iterator[Candidate]:
    for package in design.memory:
        if package.part and package.part not in known:
            affects = {**dict.fromkeys(package.channels, _PACKAGE), **_shorted(package.part, design)}
            yield _derived(f"{package.part} or its joints", package.part, measure, affects, _LINES_OF_JOINTS)
        if package.part and len(package.channels) > 1:
            for channel in package.channels:
                name = f"one channel of {package.part}: the lines, pads or joints of {channel}"
                yield _derived(name, package.part, measure / 4, {channel: _CHANNEL}, _LINES_OF_ONE)
    for rail in design.rails:
        yield from _rail(rail, design, measure)
    if design.processor and design.memory and design.processor not in known:
        shorted = _shorted(design.processor, design)
        affects = {**dict.fromkeys(design.channels(), _PROCESSOR), **shorted, "picture": 0.7}
        yield _derived("processor side", design.processor, measure, affects, _LINES_OF_JOINTS)


def _rail(rail: Rail, design: Design, measure: float) -> Iterator[Candidate]:
    """Yield the supply of a rail: it shows where the rail is read, and on some channels of what it feeds."""
    fed = [package for package in design.memory if package.part in rail.feeds]
    points = [point.name for point in design.points if point.rail == rail.name]
    if rail.name is None or not (points or len(fed) > 1):
        return
    affects = {channel: _RAIL for package in fed for channel in package.channels}
    for point in points:
        affects |= {
            f"{point} voltage": 0.8,
            f"{point} ripple": 0.5,
            f"{point} resistance": 0.3 if fed else 0.1,
        }
    if not fed:
        affects["picture"] = 0.7
    yield _derived(f"rail {rail.name}: its supply or filtering", None, measure / 2, affects, _LINES_OF_RAIL)


def _from_job(job: Job, design: Design, measure: float, pad_limit: Limit | None) -> Iterator[Candidate]:
    for part in dict.fromkeys(pad.part for pad in job.pads if pad.part):
        pads = [pad for pad in job.pads if pad.part == part]
        bad = [pad for pad in pads if _is_bad(pad, pad_limit)]
        if affects := _affected(bad or pads, part, design):
            weight = measure * max((_PADS[pad.damage or ""] for pad in bad), default=1.0)
            yield _derived(_pads_named(part, bad, pads), part, weight, affects, _LINES_OF_ONE, "job")
    for part, why in _worked_on(job, design).items():
        affects = _affected((), part, design)
        if affects:
            yield _derived(f"joints of {part}, {why}", part, 2 * measure, affects, _LINES_OF_JOINTS, "job")


def _is_bad(pad: Pad, limit: Limit | None) -> bool:
    """Whether a pad still has to be suspected: not repaired, of a package, or reading beyond the bench's limit."""
    if not pad.is_repaired or pad.of_package or pad.reads is None:
        return not pad.is_repaired or pad.of_package
    high = limit.high if limit else None
    return pad.reads.open or (high is not None and pad.reads.value > high.value)


def _pads_named(part: str, bad: list[Pad], pads: list[Pad]) -> str:
    if not bad:
        return f"repaired pads of {part}: {', '.join(pad.ball or '' for pad in pads)}"
    return f"damaged pads of {part}: {', '.join(f'{pad.ball} {pad.damage}' for pad in bad)}"


def _affected(pads: Iterable[Pad], part: str, design: Design) -> dict[str, float]:
    """Say what pads of a part make fail: the channels of their data lines, else all that the part serves."""
    package = next((one for one in design.memory if one.part == part), None)
    if package is None:
        listed = (cause for cause in design.causes if cause.part == part)
        return {
            name: min(float(value), SUREST) for cause in listed for name, value in cause.affects if value > 0
        }
    channels = [channel for pad in pads for channel in _channels(pad, package)]
    return dict.fromkeys(channels or package.channels, _CHANNEL)


def _channels(pad: Pad, package: Memory) -> tuple[str, ...]:
    ball = (pad.ball or "").upper()
    mapped = tuple(name for name, balls in package.balls if ball in {one.upper() for one in balls})
    return mapped or (() if pad.carries == "no-connect" else package.channels)


def _worked_on(job: Job, design: Design) -> dict[str, str]:
    """Say which memory packages and processor were soldered before, here or elsewhere."""
    parts = [*(one.part for one in design.memory), design.processor]
    on = {*parts} - left_off(job.work)
    soldered = {work.part: _when(work) for work in job.work if work.did in _SOLDERED and work.part in on}
    if job.intake.prior_work in {"likely", "certain"}:
        told = " ".join((job.intake.complaint or "", *job.intake.condition))
        words = {word.strip(".,;:()") for word in told.split()}
        soldered = {**{part: "worked on elsewhere before" for part in parts if part in words}, **soldered}
    return {part: why for part, why in soldered.items() if part}


def _when(work: Work) -> str:
    return f"soldered here on {work.at:%Y-%m-%d}" if work.at else "soldered here"
