"""In which order what both sides added in one place comes to stand; the same whichever side is ours."""

from collections.abc import Sequence
from typing import Generic, TypeVar

from jobkit.book.merge.blocks import Block, Item, Lines
from jobkit.named_tuple import NamedTuple

AnyItem = TypeVar("AnyItem", bound=Item)


class Addition(NamedTuple, Generic[AnyItem]):
    """What is new: how many blocks of the base come before it, its place on each side, what is written, merged.

    A place is None where that side has not added it.
    """

    after: int
    in_ours: int | None
    in_theirs: int | None
    item: AnyItem
    lines: Lines
    clean: bool

    @property
    def content(self) -> Lines:
        """What it is sorted by where nothing else decides."""
        return self.item.content

    @property
    def in_both(self) -> int | None:
        """The sum of its places where both sides have added it."""
        return None if self.in_ours is None or self.in_theirs is None else self.in_ours + self.in_theirs


def by_side(additions: Sequence[Addition[AnyItem]]) -> list[Addition[AnyItem]]:
    """Order what has no time: what both added first, then one side's and the other's, each as that side has it."""
    both = sorted(
        (each for each in additions if each.in_both is not None),
        key=lambda each: (each.in_both, each.content),
    )
    ours = [each for each in additions if each.in_theirs is None]
    theirs = [each for each in additions if each.in_ours is None]
    if not theirs:
        return [*additions]  # they come in the order of ours
    if not ours:
        return sorted(additions, key=lambda each: each.in_theirs or 0)
    first, second = sorted((ours, theirs), key=lambda run: [each.content for each in run])
    return [*both, *first, *second]


def by_time(additions: Sequence[Addition[Block]]) -> list[Addition[Block]]:
    """Order entries by time, ties by content; tables and undated entries before or behind them, as on their side.

    What one side alone has added stays as it is there.
    """
    one_sided = all(each.in_theirs is not None for each in additions) or all(
        each.in_ours is not None for each in additions
    )
    dated = [each for each in additions if each.item.time]
    if one_sided or not dated:
        return by_side(additions)
    undated = [each for each in additions if not each.item.time]
    firsts = _first(dated)
    early = [each for each in undated if _precedes(each, firsts)]
    late = [each for each in undated if not _precedes(each, firsts)]
    dated.sort(key=lambda each: (each.item.time, each.content))
    return [*by_side(early), *dated, *by_side(late)]


def _first(dated: Sequence[Addition[Block]]) -> tuple[int | None, int | None]:
    """Return the first place of a dated entry on each side."""
    ours = (each.in_ours for each in dated if each.in_ours is not None)
    theirs = (each.in_theirs for each in dated if each.in_theirs is not None)
    return min(ours, default=None), min(theirs, default=None)


def _precedes(undated: Addition[Block], firsts: tuple[int | None, int | None]) -> bool:
    """Return whether a side has added it before its first dated entry."""
    places = zip((undated.in_ours, undated.in_theirs), firsts, strict=True)
    return any(place is not None and place < first for place, first in places if first is not None)
