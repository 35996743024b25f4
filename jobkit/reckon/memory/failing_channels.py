"""Failing channels in the words of the board: which packages, where they are, and what else their rail feeds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime

from jobkit.jobs.design import Design, Memory, Rail
from jobkit.jobs.entries import Seen
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.memory.board_map import packages_by_side, place_words
from jobkit.units.phrase import Phrase, joined, phrase


class ChannelResults(NamedTuple):
    """The channels that failed and those that passed, and what is said of one or several others."""

    failed: frozenset[str]
    passed: frozenset[str]
    one_other: str = phrase("was not tested")
    others: str = phrase("were not tested")

    def fared(self, channels: Sequence[str], *, many: bool) -> str:
        """Say how channels fared that did not fail."""
        good = sum(channel in self.passed for channel in channels)
        if good:
            return phrase("passed") if good == len(channels) else phrase("passed in part")
        return self.others if many else self.one_other


def failing_words(design: Design, results: ChannelResults) -> str:
    """Say what the channels that failed have in common; "" if none of the memory map did.

    A package's rail is named with the other packages that it feeds, and whether those passed: a rail that is bad
    would show on them too.
    """
    return joined("; ", _sentences(design, results))


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
        words = _ALL_OTHERS if seen.failed else _ALL
        return Phrase(words, {"count": len(others)})
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
    yield joined(", ", (_channels(package, failed), place))
    rest = [channel for channel in package.channels if channel not in failed]
    if rest:
        fared = results.fared(rest, many=len(rest) > 1)
        yield phrase("{channels} {fared}", channels=", ".join(rest), fared=fared)


def _channels(package: Memory, failed: frozenset[str]) -> str:
    bad = [channel for channel in package.channels if channel in failed]
    if len(bad) == len(package.channels):
        words = _CHANNELS_OF.get(len(bad), _ALL_OF)
        return Phrase(words, {"count": len(bad), "part": package.part})
    return phrase(
        "{channels} of {part}, {count} of its {all} channels",
        channels=_listed(bad),
        part=package.part,
        count=len(bad),
        all=len(package.channels),
    )


_ALL, _ALL_OTHERS = phrase("all {count} channels"), phrase("all {count} other channels")
_CHANNELS_OF = {1: phrase("the channel of {part}"), 2: phrase("both channels of {part}")}
_ALL_OF = phrase("all {count} channels of {part}")


def _several(design: Design, hit: Sequence[Memory], failed: frozenset[str]) -> str:
    """Say what several packages have in common: the same share of their channels, or a side of the drawing."""
    sides = packages_by_side(design)[0]
    side = next((side for side, packages in sides.items() if packages == hit), "")
    words = _of_several(design, hit, failed)
    return phrase("{channels}, which make up the {side}", channels=words, side=side) if side else words


def _of_several(design: Design, hit: Sequence[Memory], failed: frozenset[str]) -> str:
    bad = [sum(channel in failed for channel in package.channels) for package in hit]
    if bad == [len(package.channels) for package in hit]:
        if len(hit) == len(design.memory):
            return phrase("all channels of all {count} packages", count=len(hit))
        return phrase("all channels of {parts}", parts=_parts(hit))
    if set(bad) == {1}:
        return phrase("one channel each of {parts}", parts=_parts(hit))
    return joined("; ", (_channels(package, failed) for package in hit))


def _rails(design: Design, hit: Sequence[Memory], results: ChannelResults) -> Iterator[str]:
    """Yield a sentence for each rail that feeds all packages that failed; one if no rail feeds them all."""
    parts = {package.part for package in hit}
    feeding = [rail for rail in design.rails if not parts.isdisjoint(rail.feeds)]
    shared = [rail for rail in feeding if parts.issubset(rail.feeds)]
    for rail in shared:
        others = [one for one in design.memory if one.part in rail.feeds and one not in hit]
        yield _rail(rail, others, results, one=len(hit) == 1)
    if feeding and not shared:
        yield phrase("no rail feeds them all")


def _rail(rail: Rail, others: Sequence[Memory], results: ChannelResults, *, one: bool) -> str:
    """Say what else a rail feeds than the `one` package that failed, or the several ones."""
    if not others:
        return Phrase(_ITS_ALONE if one else _THEIRS_ALONE, {"rail": rail.name})
    channels = [channel for package in others for channel in package.channels]
    fared = results.fared(channels, many=len(others) > 1)
    return Phrase(_ITS if one else _THEIRS, {"rail": rail.name, "parts": _parts(others), "fared": fared})


_ITS_ALONE = phrase("its rail {rail} feeds no other memory")
_THEIRS_ALONE = phrase("their rail {rail} feeds no other memory")
_ITS = phrase("its rail {rail} also feeds {parts}, which {fared}")
_THEIRS = phrase("their rail {rail} also feeds {parts}, which {fared}")


def _parts(packages: Sequence[Memory]) -> str:
    return _listed([package.part or "" for package in packages])


def _listed(words: Sequence[str]) -> str:
    """Join words with commas and an "and".

    >>> _listed(["U5", "U6", "U7"])
    'U5, U6 and U7'
    """
    if len(words) < 2:
        return "".join(words)
    return phrase("{some} and {last}", some=", ".join(words[:-1]), last=words[-1])
