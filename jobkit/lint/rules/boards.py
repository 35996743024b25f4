"""Board files: names, rails, channels and causes that must agree with each other."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePosixPath

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design
from jobkit.jobs.finding import Place
from jobkit.lint.registry import Found, FoundIn, own_rule
from jobkit.lint.rules.nearest import suggest
from jobkit.reckon.suspects.symptoms import names_of_symptoms


@own_rule("error")
def design_mismatch(bench: Bench) -> Iterator[FoundIn]:
    """A board file is for another design than its name says.

    What it finds: `design` differs from the file name without `.toml`.

    Why it matters: jobs find their board file by its name.

    How to fix: rename the file, or correct `design`.

    Example: `design = "tarnhow-t7-16"` in boards/tarnhow-t7-8.toml.
    """
    for design in bench.designs.values():
        stem = PurePosixPath(design.path).stem
        if design.name != stem:
            message = f"design is {design.name}, but the file is named {stem}"
            mend = f'write design = "{stem}", or rename the file'
            yield FoundIn(design.path, Found(("design",), design.name, message, mend))


@own_rule("error")
def name_twice(bench: Bench) -> Iterator[FoundIn]:
    """Two tables of a board file have the same name.

    What it finds: a rail, point, memory package, package, check or cause with the name of an earlier one of its kind.

    Why it matters: jobs that use the name get the first of the two, whichever was meant.

    How to fix: rename or remove one of the two.

    Example: two [[point]] tables with `name = "VMEM"`.
    """
    for design in bench.designs.values():
        for sort, named in _sorts(design):
            seen: set[str] = set()
            for place, name in named:
                if name in seen:
                    found = Found(place, name, f"there is another {sort} {name}", "rename one, or remove it")
                    yield FoundIn(design.path, found)
                elif name:
                    seen.add(name)


def _sorts(design: Design) -> Iterator[tuple[str, list[tuple[Place, str | None]]]]:
    yield "rail", [((*one.path, "name"), one.name) for one in design.rails]
    yield "point", [((*one.path, "name"), one.name) for one in design.points]
    yield "memory package", [((*one.path, "part"), one.part) for one in design.memory]
    yield "package", [((*one.path, "part"), one.part) for one in design.packages]
    yield "check", [((*one.path, "name"), one.name) for one in design.checks]
    yield "cause", [((*one.path, "name"), one.name) for one in design.causes]


@own_rule("error")
def channel_twice(bench: Bench) -> Iterator[FoundIn]:
    """A memory channel is mapped twice.

    What it finds: a channel that an earlier memory package, or an earlier place in the same list, serves already.

    Why it matters: an error on it would point to two packages, and one of them is good.

    How to fix: check the board: each channel belongs to one package.

    Example: U1 with `channels = ["1L", "1H"]` and U2 with `channels = ["1H", "2L"]`.
    """
    for design in bench.designs.values():
        served: dict[str, str] = {}
        for package in design.memory:
            for index, channel in enumerate(package.channels):
                if channel in served:
                    message = f"channel {channel} is already mapped to {served[channel]}"
                    found = Found(
                        (*package.path, "channels", index), channel, message, "map each channel once"
                    )
                    yield FoundIn(design.path, found)
                served.setdefault(channel, package.part or "")


@own_rule("warning")
def package_unfed(bench: Bench) -> Iterator[FoundIn]:
    """A package has no rail.

    What it finds: in a board file with rails, a memory package or the processor that no rail `feeds`.

    Why it matters: after work on it jobkit cannot say which rail to read before power.

    How to fix: add the part to `feeds` of its rail.

    Example: [[memory]] U5, and no rail with U5 in `feeds`.
    """
    for design in bench.designs.values():
        fed = {part for rail in design.rails for part in rail.feeds}
        if not fed:
            continue
        parts = [((*one.path, "part"), one.part) for one in design.memory]
        for place, part in [*parts, (("processor",), design.processor)]:
            if part and part not in fed:
                mend = "add it to feeds of its rail"
                yield FoundIn(design.path, Found(place, part, f"no rail feeds {part}", mend))


@own_rule("warning")
def rail_idle(bench: Bench) -> Iterator[FoundIn]:
    """A rail feeds nothing.

    What it finds: a rail with nothing in `feeds`, from which no other rail is made.

    Why it matters: a short on it cannot be traced to a part.

    How to fix: add the parts it feeds, or remove the rail.

    Example: [[rail]] V5 with a nominal voltage and nothing else.
    """
    for design in bench.designs.values():
        sources = {rail.made_from for rail in design.rails}
        for rail in design.rails:
            if not rail.feeds and rail.name not in sources:
                message = f"rail {rail.name} feeds nothing"
                found = Found((*rail.path, "feeds"), rail.name or "", message, "add the parts it feeds")
                yield FoundIn(design.path, found)


_AFFECTS = "name what it makes fail, each with its probability: affects = { picture = 0.9 }"


@own_rule("error")
def affects_unknown(bench: Bench) -> Iterator[FoundIn]:
    """A cause affects something that nothing measures.

    What it finds: a key of `affects` that is not a channel, point or check of the board file and not covered by a
    check. A point may be followed by the kind of a reading and by the end of its limit: "VMEM2 voltage low". A warning
    where `affects` is empty or left out, and where a probability is 0: it says nothing.

    Why it matters: no evidence can count for or against that cause.

    How to fix: write the name as in the memory map, the points or the checks.

    Example: `affects = { "9L" = 0.9 }` on a design with the channels 1L to 8H.
    """
    for design in bench.designs.values():
        known = names_of_symptoms(design)
        for cause in design.causes:
            if not cause.affects:
                message = f"{cause.name} affects nothing, so no evidence can speak for it or against it"
                found = Found((*cause.path, "affects"), cause.name or "", message, _AFFECTS, "warning")
                yield FoundIn(design.path, found)
            for name, probability in cause.affects:
                if not probability:
                    message = f"{cause.name} affects {name} with the probability 0, which says nothing"
                    found = Found((*cause.path, "affects", name), name, message, "remove it", "warning")
                    yield FoundIn(design.path, found)
                if name not in known:
                    message = f"{cause.name} affects {name}, which is not a channel, point or check of {design.name}"
                    mend = suggest(name, sorted(known), "name a channel, point or check")
                    yield FoundIn(design.path, Found((*cause.path, "affects", name), name, message, mend))
