"""A board file on a screen."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.design import Check, Design, Package, Point, PointLimit, Rail
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Table, Title, filled
from jobkit.pages.client.board_drawing import memory_map
from jobkit.pages.forms.data import Data, measured, number
from jobkit.pages.words import listed


def design_page(design: Design) -> Answer:
    """Show what is known of a design: rails, points with their limits, memory, checks and causes."""
    return Answer(list(_blocks(design)), _data(design))


def _blocks(design: Design) -> Iterator[Block]:
    yield Title(f"{design.name}  {design.what or ''}".rstrip(), 1)
    yield Pairs([("kind", design.kind or ""), ("processor", design.processor or "")])
    if design.rails:
        yield Title("Rails")
        yield Table(
            ("rail", "nominal", "made from", "through", "feeds"), [_rail(rail) for rail in design.rails]
        )
    if design.points:
        yield Title("Points")
        yield Table(
            ("point", "where", "reading", "limit"), [row for point in design.points for row in _point(point)]
        )
    if design.memory:
        yield from _memory(design)
    if design.packages:
        yield Title("Packages")
        yield Table(("part", "what", "where", "moisture", "item"), list(map(_package, design.packages)))
    if design.checks:
        yield Title("Checks")
        head = ("check", "minutes", "board", "covers", "how")
        yield filled(Table(head, list(map(_check, design.checks)), right=("minutes",)))
    if design.causes:
        yield Title("Known causes")
        yield Table(
            ("cause", "part", "weight"),
            [(one.name or "", one.part or "", str(one.weight)) for one in design.causes],
            right=("weight",),
        )


def _memory(design: Design) -> Iterator[Block]:
    drawn = memory_map(design)
    yield Title("Memory, seen from the parts side with the edge connector below")
    if drawn.lines:
        yield drawn.drawing
    for package in drawn.elsewhere:
        yield Line(f"{package.part}: {' '.join(package.channels)}, {package.place or 'place unknown'}")


def _rail(rail: Rail) -> tuple[str, ...]:
    nominal = rail.nominal.text if rail.nominal else ""
    name = f"{rail.name} (processor)" if rail.core else rail.name or ""
    return name, nominal, rail.made_from or "", ", ".join(rail.through), ", ".join(rail.feeds)


def _package(package: Package) -> tuple[str, ...]:
    held = (package.part, package.what, package.place, package.moisture, package.item)
    return tuple(one or "" for one in held)


def _check(check: Check) -> tuple[str, ...]:
    return (
        check.name or "",
        str(check.minutes or ""),
        check.state or "",
        ", ".join(check.covers),
        check.how or "",
    )


def _point(point: Point) -> Iterator[tuple[str, ...]]:
    """Give a row a limit; name and place only in the first."""
    name, where = point.name or "", point.where or ""
    for limit in point.limits or (None,):
        yield (
            name,
            where,
            _manner(limit) if limit else "",
            (limit.limit.text if limit and limit.limit else ""),
        )
        name = where = ""


def _manner(limit: PointLimit) -> str:
    more = (f"to {limit.to}" if limit.to else None, f"red on {limit.red_on}" if limit.red_on else None)
    return listed(
        limit.kind, limit.state, *more, f"without {', '.join(limit.removed)}" if limit.removed else None
    )


def _data(design: Design) -> Data:
    return {
        "design": design.name,
        "kind": design.kind,
        "what": design.what,
        "processor": design.processor,
        "rails": [
            {
                "name": rail.name,
                "nominal": measured(rail.nominal),
                "made_from": rail.made_from,
                "through": list(rail.through),
                "feeds": list(rail.feeds),
                "core": rail.core,
            }
            for rail in design.rails
        ],
        "points": [
            {
                "name": point.name,
                "where": point.where,
                "rail": point.rail,
                "limits": [
                    {
                        "kind": limit.kind,
                        "state": limit.state,
                        "to": limit.to,
                        "limit": limit.limit.text if limit.limit else None,
                    }
                    for limit in point.limits
                ],
            }
            for point in design.points
        ],
        "checks": [
            {
                "name": check.name,
                "minutes": None if check.minutes is None else number(check.minutes),
                "state": check.state,
                "covers": list(check.covers),
                "how": check.how,
            }
            for check in design.checks
        ],
        "memory": [
            {"part": one.part, "channels": list(one.channels), "place": one.place} for one in design.memory
        ],
    }
