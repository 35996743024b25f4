"""Names on the board: designs, points, parts, rails and channels as the board file has them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design
from jobkit.jobs.entries import Pad, Reading, Seen, Used, Work
from jobkit.jobs.finding import Place
from jobkit.jobs.job import Job
from jobkit.lint.registry import Found, FoundIn, own_look, rule
from jobkit.lint.rules.nearest import suggest

_GROUND = frozenset(("ground", "gnd", "chassis"))
_PART = ("part",)


@rule("error")
def design_unknown(job: Job, bench: Bench) -> Iterator[Found]:
    """A job names a design that has no board file.

    What it finds: `board.design` without a file boards/<design>.toml.

    Why it matters: without the board file readings have no limits, and the board does not count for usual readings.

    How to fix: correct the name; or write the board file (two lines are enough to begin with); or leave out `design`
    until you know it.

    Example: `design = "tarnhow-t7-61"` where boards/ holds tarnhow-t7-16.toml.
    """
    name = job.board.design
    if name and name not in bench.designs:
        mend = suggest(name, bench.designs, f"write boards/{name}.toml, or leave design out")
        yield Found(("board", "design"), name, f"there is no board file for the design {name}", mend)


@rule("error")
def point_unknown(job: Job, bench: Bench) -> Iterator[Found]:
    """A reading was taken at a point that the board file does not have.

    What it finds: on a documented design, a reading whose `point` is not one of its points, or whose `to` or `red_on`
    is not ground and not a point, rail or part of it.

    Why it matters: the reading has no limit, and it does not count for usual readings.

    How to fix: correct the name, or add the point to the board file.

    Example: `point = "VMEN"` on a design with the point VMEM.
    """
    design = _design(job, bench)
    if design is None or not design.points or not job.readings:
        return
    for reading in job.readings:
        if reading.point is not None and design.point(reading.point) is None:
            yield _unknown_point((*reading.path, "point"), reading.point, design)
        if reading.to is not None or reading.red_on is not None:
            yield from _unknown_ends(reading, design)


def _unknown_ends(reading: Reading, design: Design) -> Iterator[Found]:
    for key, name in (("to", reading.to), ("red_on", reading.red_on)):
        if name is not None and name.casefold() not in _GROUND and not _is_known(name, design):
            yield _unknown_point((*reading.path, key), name, design)


def _is_known(name: str, design: Design) -> bool:
    """Tell whether a design has a point, rail or part of this name."""
    return bool(design.point(name) or design.rail(name)) or name in design.all_parts()


def _unknown_point(place: Place, name: str, design: Design) -> Found:
    mend = suggest(name, design.point_names, f"add the point to {design.path}")
    return Found(place, name, f"{name} is not a point of {design.name}", mend)


@rule("warning")
def part_unknown(job: Job, bench: Bench) -> Iterator[Found]:
    """A job names a part that is not in the board file.

    What it finds: on a documented design, a part of [[work]] (`part`, `near`), [[pad]], [[used]], [cause] or `removed`
    of a reading that is in no table of the board file. `hottest` of an injection may be any place. In a board file with
    `parts`: the `part` of a cause that nothing else in the file names.

    Why it matters: the history of a part is found by its name.

    How to fix: correct the name, or add it to `parts` in the board file.

    Example: `part = "Q241"` on a design with Q214.
    """
    design = _design(job, bench)
    if design is None:
        return
    known = design.all_parts()
    for path, key, part in _parts(job) if known else ():
        if part not in known:
            mend = suggest(part, known, f"add it to parts in {design.path}")
            yield Found((*path, *key), part, f"{part} is not a part of {design.name}", mend)


@own_look("part-unknown")
def part_unknown_in_a_board_file(bench: Bench) -> Iterator[FoundIn]:
    """Look at the parts of the causes of each board file that lists its parts."""
    for design in bench.designs.values():
        known = _parts_but_of_causes(design)
        for cause in design.causes if design.parts else ():
            if cause.part and cause.part not in known:
                mend = suggest(cause.part, known, f"add it to parts in {design.path}")
                message = f"{cause.part} is a part of this cause alone"
                found = Found((*cause.path, "part"), cause.part, message, mend)
                yield FoundIn(design.path, found)


def _parts_but_of_causes(design: Design) -> frozenset[str]:
    parts = {design.processor, *design.parts}
    parts.update(one.part for one in design.packages)
    parts.update(one.part for one in design.memory)
    parts.update(part for rail in design.rails for part in (*rail.feeds, *rail.through))
    return frozenset(part for part in parts if part)


def _parts(job: Job) -> Iterator[tuple[Place, Place, str]]:
    """Name each part with the place of its entry and its key therein."""
    groups: tuple[tuple[Pad | Work | Used, ...], ...] = (job.pads, job.work, job.used)
    for entries in groups:
        for entry in entries:
            if entry.part is not None:
                yield entry.path, _PART, entry.part
    for work in job.work:
        for index, part in enumerate(work.near):
            yield work.path, ("near", index), part
    for reading in job.readings:
        for index, part in enumerate(reading.removed):
            yield reading.path, ("removed", index), part
    if job.cause and job.cause.part is not None:
        yield ("cause",), _PART, job.cause.part


@rule("error")
def rail_unknown(job: Job, bench: Bench) -> Iterator[Found]:
    """A rail is not in the board file.

    What it finds: on a design with rails, an [[inject]] into a rail that is not one of them; in a board file, a point
    or rail whose `rail` or `made_from` is not one of its rails, and rails that are made from each other in a circle.

    Why it matters: jobkit needs the rail to know how much voltage it tolerates and what it feeds.

    How to fix: correct the name, or add the rail to the board file.

    Example: `rail = "VMEN"` on a design with the rail VMEM.
    """
    design = _design(job, bench) if job.injections else None
    rails = design.rail_names if design else frozenset()
    for inject in job.injections if design and rails else ():
        if inject.rail is not None and inject.rail not in rails and design:
            yield _unknown_rail((*inject.path, "rail"), inject.rail, rails, design)


@own_look("rail-unknown")
def rail_unknown_in_a_board_file(bench: Bench) -> Iterator[FoundIn]:
    """Look at the points and rails of the board files."""
    for design in bench.designs.values():
        rails = design.rail_names
        for point in design.points:
            if point.rail is not None and point.rail not in rails:
                place = (*point.path, "rail")
                yield FoundIn(design.path, _unknown_rail(place, point.rail, rails, design))
        for rail in design.rails:
            if rail.made_from is not None and rail.made_from not in rails:
                place = (*rail.path, "made_from")
                yield FoundIn(design.path, _unknown_rail(place, rail.made_from, rails, design))
        yield from (FoundIn(design.path, found) for found in _circles(design))


def _circles(design: Design) -> Iterator[Found]:
    """Yield the first rail of each circle of rails that are made from each other."""
    sources = {rail.name: rail.made_from for rail in design.rails}
    told: set[str | None] = set()
    for rail in design.rails:
        way = [rail.name]
        while (source := sources.get(way[-1])) is not None and source not in way:
            way.append(source)
        if source == rail.name and rail.name not in told:
            told.update(way)
            message = (
                f"{rail.name} is made from itself: {' from '.join(str(name) for name in (*way, source))}"
            )
            yield Found(
                (*rail.path, "made_from"), rail.name or "", message, "correct made_from of one of them"
            )


def _unknown_rail(place: Place, name: str, rails: frozenset[str], design: Design) -> Found:
    mend = suggest(name, rails, f"add the rail to {design.path}")
    return Found(place, name, f"{name} is not a rail of {design.name}", mend)


@rule("error")
def channel_unknown(job: Job, bench: Bench) -> Iterator[Found]:
    """A memory test names a channel that the design does not have.

    What it finds: a [[seen]] that names channels of the board file's memory map, and also a name that is not one. A
    check of the board file with "memory" in its name must name channels only. In a board file: `balls` of a channel
    that the package does not serve, a ball that a channel lists twice, and a list that is longer or shorter than most.

    Why it matters: suspects are found by channel; a mistyped channel points to the wrong package.

    How to fix: write the channels as the memory test of this design names them.

    Example: `failed = ["9L"]` on a design with the channels 1L to 8H.
    """
    design = _design(job, bench) if job.seen else None
    channels = design.channel_names if design else frozenset()
    for seen in job.seen if design and channels else ():
        if design and _names_channels(seen, channels, design):
            yield from _unknown_channels(seen, channels, design)


def _names_channels(seen: Seen, channels: frozenset[str], design: Design) -> bool:
    if not channels.isdisjoint(seen.failed) or not channels.isdisjoint(seen.passed):
        return True
    check = seen.check or ""
    return "memory" in check.casefold() and check in design.check_names


def _unknown_channels(seen: Seen, channels: frozenset[str], design: Design) -> Iterator[Found]:
    for key, names in (("passed", seen.passed), ("failed", seen.failed)):
        for index, name in enumerate(names):
            if name not in channels:
                mend = suggest(name, channels, f"see the memory map in {design.path}")
                place = (*seen.path, key, index)
                yield Found(place, name, f"{name} is not a memory channel of {design.name}", mend)


@own_look("channel-unknown")
def channel_unknown_in_a_board_file(bench: Bench) -> Iterator[FoundIn]:
    """Look at the balls of each memory package."""
    for design in bench.designs.values():
        for package in design.memory:
            for channel, _ in package.balls:
                if channel not in package.channels:
                    message = f"{package.part} has balls for {channel}, which is none of its channels"
                    mend = suggest(channel, package.channels, "add it to channels")
                    found = Found((*package.path, "balls", channel), channel, message, mend)
                    yield FoundIn(design.path, found)
        yield from (FoundIn(design.path, found) for found in _miscounted_balls(design))


def _miscounted_balls(design: Design) -> Iterator[Found]:
    """Yield the lists of balls that cannot have one ball for each data line, as the other lists of the board have."""
    listed = [
        (package, channel, balls) for package in design.memory for channel, balls in package.balls if balls
    ]
    usual = Counter(len(balls) for _, _, balls in listed).most_common(1)
    for package, channel, balls in listed:
        place = (*package.path, "balls", channel)
        twice = [ball for ball, count in Counter(balls).items() if count > 1]
        if twice:
            message = f"{channel} of {package.part} lists {', '.join(twice)} twice"
            yield Found(place, channel, message, "write one ball for each data line")
        elif len(balls) != usual[0][0]:
            message = f"{channel} of {package.part} lists {len(balls)} balls, other channels {usual[0][0]}"
            yield Found(
                place, channel, message, "write one ball for each data line, in the order of the lines"
            )


@rule("note")
def run_unknown(job: Job, bench: Bench) -> Iterator[Found]:
    """A trial has a name that neither the proof policy nor the board file knows.

    What it finds: a [[trial]] whose `run` is not a run of any proof policy in bench.toml, nor a [[check]] of the board
    file. A warning where a known name is so near that it was probably meant, else a note. Where no policy names a
    run, any name will do.

    Why it matters: the checks before shipping look for a run by its name: a mistyped pass proves nothing.

    How to fix: write the name as the policy has it; a run of your own may be added to the board file as a [[check]].

    Example: `run = "lod run"` where the policy asks for "load run".
    """
    known = _runs(job, bench) if job.trials else frozenset()
    for trial in job.trials if known else ():
        if trial.run and trial.run not in known:
            mend = suggest(trial.run, known, "leave it as it is if it is a test of your own")
            level = "warning" if mend.startswith("write") else None
            message = f'"{trial.run}" is neither a run of the proof policy nor a check of the board file'
            yield Found((*trial.path, "run"), trial.run, message, mend, level)


def _runs(job: Job, bench: Bench) -> frozenset[str]:
    """Name the runs of the bench's policies and the checks of the board file."""
    design = _design(job, bench)
    runs = frozenset(run for policy in bench.settings.proof.values() for run in policy.runs)
    return runs | (design.check_names if design else frozenset()) if runs else frozenset()


def _design(job: Job, bench: Bench) -> Design | None:
    return bench.designs.get(job.board.design) if job.board.design else None
