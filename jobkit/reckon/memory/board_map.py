"""Where the channels of a memory test are on the board: package, place in the drawing, rails and balls."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from jobkit.jobs.design import Design, Memory

SIDES = ("left column", "top row", "right column", "bottom row")
"""The sides of the drawing: round the processor, seen from the parts side with the edge connector below."""

_ALONG = ("left", "top", "upper middle", "middle", "lower middle", "right", "bottom")
"""Places along a side, in order from the left or the top."""

_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")


class ChannelPlace(NamedTuple):
    """Where a channel is: its package, the place of that in words, the rails that feed it, and its balls by line."""

    part: str
    place: str = ""
    rails: tuple[str, ...] = ()
    balls: tuple[str, ...] = ()


def packages_by_side(design: Design) -> tuple[Mapping[str, list[Memory]], list[Memory]]:
    """Return the packages of each side in order along it, and those whose place is not on a side of the drawing."""
    sides: dict[str, list[Memory]] = {side: [] for side in SIDES}
    elsewhere: list[Memory] = []
    for package in design.memory:
        sides.get(_side(package), elsewhere).append(package)
    for packages in sides.values():
        packages.sort(key=_along)
    return sides, elsewhere


def place_words(design: Design, package: Memory) -> str:
    """Say where a package is in the drawing; what the board file says where the drawing does not have it.

    A board file may call all packages of a column "1" to "4": of four, the second one is "second from top".
    """
    side = _side(package)
    packages = packages_by_side(design)[0].get(side, [])
    if package not in packages:
        return package.place or ""
    begin, end = ("top", "bottom") if side.endswith("column") else ("left", "right")
    place, last = packages.index(package), len(packages) - 1
    return ", ".join(filter(None, (side, _place_along(place, last, begin, end))))


def channel_places(design: Design) -> Mapping[str, ChannelPlace]:
    """Return the place of each channel of the board file, by its name."""
    return {
        channel: ChannelPlace(
            package.part,
            place_words(design, package),
            rails_of(design, package.part),
            dict(package.balls).get(channel, ()),
        )
        for package in design.memory
        if package.part
        for channel in package.channels
    }


def rails_of(design: Design, part: str | None) -> tuple[str, ...]:
    """Name the rails that feed a part."""
    return tuple(rail.name for rail in design.rails if rail.name and part in rail.feeds)


def _side(package: Memory) -> str:
    return (package.place or "").partition(",")[0].strip()


def _along(package: Memory) -> tuple[int, str]:
    where = (package.place or "").partition(",")[2].strip()
    if where.isdecimal():
        return int(where), where
    return (_ALONG.index(where) if where in _ALONG else len(_ALONG)), where


def _place_along(place: int, last: int, begin: str, end: str) -> str:
    """Say where the package at a place from 0 is on a side with so many behind it.

    >>> [_place_along(place, 3, "top", "bottom") for place in range(4)]
    ['top', 'second from top', 'second from bottom', 'bottom']
    """
    if not last:
        return ""
    if place in {0, last}:
        return end if place else begin
    if 2 * place == last:
        return "middle"
    near, side = (place, begin) if 2 * place < last else (last - place, end)
    return f"{_ORDINALS[near] if near < len(_ORDINALS) else f'{near + 1}th'} from {side}"
