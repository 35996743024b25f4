"""Where the channels of a memory test are on the board: package, place in the drawing, rails and balls."""

from __future__ import annotations

from collections.abc import Mapping

from jobkit.jobs.design import Design, Memory
from jobkit.named_tuple import NamedTuple
from jobkit.units.phrase import joined, phrase

SIDES = (phrase("left column"), phrase("top row"), phrase("right column"), phrase("bottom row"))
"""The sides of the drawing: round the processor, seen from the parts side with the edge connector below."""

_ALONG = ("left", "top", "upper middle", "middle", "lower middle", "right", "bottom")
"""Places along a side, in order from the left or the top."""

_ORDINALS = (
    phrase("first"), phrase("second"), phrase("third"), phrase("fourth"), phrase("fifth"), phrase("sixth"),
    phrase("seventh"), phrase("eighth"),
)  # fmt: skip
_TOP, _BOTTOM, _LEFT, _RIGHT = phrase("top"), phrase("bottom"), phrase("left"), phrase("right")


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
    begin, end = (_TOP, _BOTTOM) if side.endswith("column") else (_LEFT, _RIGHT)
    place, last = packages.index(package), len(packages) - 1
    return joined(", ", (SIDES[SIDES.index(side)], _place_along(place, last, begin, end)))


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
        return phrase("middle")
    near, side = (place, begin) if 2 * place < last else (last - place, end)
    ordinal = _ORDINALS[near] if near < len(_ORDINALS) else phrase("{number}th", number=near + 1)
    return phrase("{ordinal} from {side}", ordinal=ordinal, side=side)
