"""Failing channels in the words of the board: which packages, where they are, and what else their rail feeds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from typing import NamedTuple

from jobkit.jobs.design import Design, Memory, Rail
from jobkit.jobs.entries import Seen
from jobkit.reckon.memory.board_map import packages_by_side, place_words


class ChannelResults(NamedTuple):
    """The channels that failed and those that passed, and what is said of one or several others."""

    failed: frozenset[str]
    passed: frozenset[str]
    one_other: str = "was not tested"
    others: str = "were not tested"

    def fared(self, channels: Sequence[str], *, many: bool) -> str:
        """Say how channels fared that did not fail."""
        good = sum(channel in self.passed for channel in channels)
        if good:
            return "passed" if good == len(channels) else "passed in part"
        return self.others if many else self.one_other


def failing_words(design: Design, results: ChannelResults) -> str:
    """Say what the channels that failed have in common; "" if none of the memory map did.

    A package's rail is named with the other packages that it feeds, and whether those passed: a rail that is bad
    would show on them too.
    """
    return "; ".join(_sentences(design, results))


def failing_in(seen: Seen, design: Design | None) -> str:
    """Say what the channels have in common that failed in a test that was written down; "" if none of the map did."""
    return (
        failing_words(design, ChannelResults(frozenset(seen.failed), frozenset(seen.passed)))
        if design
        else ""
    )


def still_failing(checks: Iterable[Seen]) -> frozenset[str]:
    """Name what failed when it was looked at last; checks without a time come after all others."""
    failed: set[str] = set()
    for one in sorted(checks, key=lambda seen: seen.at or datetime.max):
        failed.difference_update(one.passed)
        failed.update(one.failed)
    return frozenset(failed)


def passed_words(seen: Seen, design: Design | None) -> str:
    """Name what passed; all other channels of the memory map are counted instead."""
    channels = design.channels() if design else ()
    others = [channel for channel in channels if channel not in seen.failed]
    if len(others) > 1 and set(others) == set(seen.passed):
        return f"all {len(others)} {'other ' if seen.failed else ''}channels"
    return ", ".join(seen.passed)


def _sentences(design: Design, results: ChannelResults) -> Iterator[str]:
    failed = results.failed
    hit = [package for package in design.memory if not failed.isdisjoint(package.channels)]
    if len(hit) == 1:
        yield from _one(design, hit[0], results)
    elif hit:
        yield _several(design, hit, failed)
    yield from _rails(design, hit, results)


def _one(design: Design, package: Memory, results: ChannelResults) -> Iterator[str]:
    failed = results.failed
    place = place_words(design, package)
    yield f"{_channels(package, failed)}, {place}" if place else _channels(package, failed)
    rest = [channel for channel in package.channels if channel not in failed]
    if rest:
        yield f"{', '.join(rest)} {results.fared(rest, many=len(rest) > 1)}"


def _channels(package: Memory, failed: frozenset[str]) -> str:
    bad = [channel for channel in package.channels if channel in failed]
    if len(bad) == len(package.channels):
        count = {1: "the channel", 2: "both channels"}.get(len(bad), f"all {len(bad)} channels")
        return f"{count} of {package.part}"
    return f"{_listed(bad)} of {package.part}, {len(bad)} of its {len(package.channels)} channels"


def _several(design: Design, hit: Sequence[Memory], failed: frozenset[str]) -> str:
    """Say what several packages have in common: the same share of their channels, or a side of the drawing."""
    sides = packages_by_side(design)[0]
    where = next((f", which make up the {side}" for side, packages in sides.items() if packages == hit), "")
    bad = [sum(channel in failed for channel in package.channels) for package in hit]
    if bad == [len(package.channels) for package in hit]:
        every = len(hit) == len(design.memory)
        return f"all channels of {f'all {len(hit)} packages' if every else _parts(hit)}{where}"
    if set(bad) == {1}:
        return f"one channel each of {_parts(hit)}{where}"
    return f"{'; '.join(_channels(package, failed) for package in hit)}{where}"


def _rails(design: Design, hit: Sequence[Memory], results: ChannelResults) -> Iterator[str]:
    """Yield a sentence for each rail that feeds all packages that failed; one if no rail feeds them all."""
    parts = {package.part for package in hit}
    feeding = [rail for rail in design.rails if not parts.isdisjoint(rail.feeds)]
    shared = [rail for rail in feeding if parts.issubset(rail.feeds)]
    for rail in shared:
        others = [one for one in design.memory if one.part in rail.feeds and one not in hit]
        yield _rail(rail, others, results, whose="its" if len(hit) == 1 else "their")
    if feeding and not shared:
        yield "no rail feeds them all"


def _rail(rail: Rail, others: Sequence[Memory], results: ChannelResults, *, whose: str) -> str:
    if not others:
        return f"{whose} rail {rail.name} feeds no other memory"
    channels = [channel for package in others for channel in package.channels]
    fared = results.fared(channels, many=len(others) > 1)
    return f"{whose} rail {rail.name} also feeds {_parts(others)}, which {fared}"


def _parts(packages: Sequence[Memory]) -> str:
    return _listed([package.part or "" for package in packages])


def _listed(words: Sequence[str]) -> str:
    """Join words with commas and an "and".

    >>> _listed(["U5", "U6", "U7"])
    'U5, U6 and U7'
    """
    return f"{', '.join(words[:-1])} and {words[-1]}" if len(words) > 1 else "".join(words)
