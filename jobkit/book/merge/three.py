"""Three versions of a block made one: what one side changed is taken, what both changed is between markers.

Nothing that a side wrote is lost: a line goes only where one side removed it and the other left it alone.
"""

from collections import deque
from collections.abc import Callable, Hashable, Iterable, Sequence
from typing import TypeVar

from jobkit.book.git.linemerge import Labels
from jobkit.book.merge.blocks import EMPTY, Block, Item, KeyValue, Lines, not_blank
from jobkit.book.merge.markers import conflict
from jobkit.book.merge.order import Addition, by_side, by_time
from jobkit.book.merge.pairs import pairs
from jobkit.named_tuple import NamedTuple

AnyItem = TypeVar("AnyItem", bound=Item)
Pick = TypeVar("Pick")
_Settle = Callable[[AnyItem | None, AnyItem | None, AnyItem | None], "Piece"]
_Pair = Callable[[Sequence[AnyItem], Sequence[AnyItem]], list[int | None]]


class Piece(NamedTuple):
    """Merged lines, and whether no conflict is among them."""

    lines: Lines
    clean: bool = True


def picked(base: Pick, ours: Pick, theirs: Pick) -> Pick | None:
    """Return what one side changed, or both alike; None where both changed it, each in its way."""
    if ours == base:
        return theirs
    return ours if theirs in (base, ours) else None


def merge_blocks(base: Block, ours: Block, theirs: Block, labels: Labels) -> Piece:
    """Merge three versions of one block."""
    notes = _remarks(base.notes, ours.notes, theirs.notes)
    head = picked(base.head, ours.head, theirs.head)
    gap = picked(base.gap, ours.gap, theirs.gap)
    if notes is None or head is None:
        return _two_ways(ours, theirs, labels)
    return _joined(
        [
            Piece(max(ours.gap, theirs.gap) if gap is None else gap),
            Piece(notes + head),
            _statements(base.statements, ours.statements, theirs.statements, labels),
            _tail(base.tail, ours.tail, theirs.tail, labels),
            _blocks(base.blocks, ours.blocks, theirs.blocks, labels),
        ]
    )


def _joined(pieces: Iterable[Piece]) -> Piece:
    pieces = tuple(pieces)
    lines = tuple(line for piece in pieces for line in piece.lines)
    return Piece(lines, all(piece.clean for piece in pieces))


def _remarks(base: Lines, ours: Lines, theirs: Lines) -> Lines | None:
    """Merge remarks and blank lines; what both added to the end, or to the beginning, is kept one after the other.

    Blank lines alone are no change. None where both changed a remark, each in its way.
    """
    plain_base, plain_ours, plain_theirs = map(not_blank, (base, ours, theirs))
    if plain_ours == plain_theirs and base not in (ours, theirs):
        return max(ours, theirs, key=lambda lines: (len(lines), lines))
    if ours == base or (theirs != base and plain_ours == plain_base):
        return theirs
    if plain_theirs == plain_base:
        return ours
    return _extended(base, ours, theirs)


def _extended(base: Lines, ours: Lines, theirs: Lines) -> Lines | None:
    size = len(base)
    if ours[:size] == theirs[:size] == base:
        first, second = sorted((ours[size:], theirs[size:]))
        return (*base, *first, *second)
    if ours[-size:] == theirs[-size:] == base:
        first, second = sorted((ours[:-size], theirs[:-size]))
        return (*first, *second, *base)
    return None


def _tail(base: Lines, ours: Lines, theirs: Lines, labels: Labels) -> Piece:
    remarks = _remarks(base, ours, theirs)
    return Piece(conflict(ours, theirs, labels), clean=False) if remarks is None else Piece(remarks)


def _statements(
    base: Sequence[KeyValue], ours: Sequence[KeyValue], theirs: Sequence[KeyValue], labels: Labels
) -> Piece:
    def settle(base: KeyValue | None, ours: KeyValue | None, theirs: KeyValue | None) -> Piece:
        return _settled(base, ours, theirs, labels, _merge_statement)

    def pair(base: Sequence[KeyValue], side: Sequence[KeyValue]) -> list[int | None]:
        places = {statement.key: number for number, statement in enumerate(side)}
        return [places.get(statement.key) for statement in base]

    return _woven((base, ours, theirs), pair, pair, settle, by_side)


def _merge_statement(base: KeyValue | None, ours: KeyValue, theirs: KeyValue, labels: Labels) -> Piece:
    notes = _remarks(base.notes if base else (), ours.notes, theirs.notes)
    lines = picked(base.pair if base else (), ours.pair, theirs.pair)
    if notes is None or lines is None:
        return _two_ways(ours, theirs, labels)
    return Piece(notes + lines)


def _blocks(base: Sequence[Block], ours: Sequence[Block], theirs: Sequence[Block], labels: Labels) -> Piece:
    def settle(base: Block | None, ours: Block | None, theirs: Block | None) -> Piece:
        return _settled(base, ours, theirs, labels, _merge_inner)

    return _woven((base, ours, theirs), pairs, _same_additions, settle, by_time)


def _merge_inner(base: Block | None, ours: Block, theirs: Block, labels: Labels) -> Piece:
    return merge_blocks(base or EMPTY, ours, theirs, labels)


def _same_additions(ours: Sequence[Block], theirs: Sequence[Block]) -> list[int | None]:
    """Return for each block that ours added which block of theirs is the same addition.

    Tables of one name are; so are dated entries alike in every line. Two undated entries alike may be two
    events.
    """

    def key(block: Block) -> Hashable:
        return (block.name, block.content if block.is_entry else ())

    waiting: dict[Hashable, deque[int]] = {}
    for number, block in enumerate(theirs):
        waiting.setdefault(key(block), deque()).append(number)
    alike = [waiting.get(key(block)) if block.time or not block.is_entry else None for block in ours]
    return [numbers.popleft() if numbers else None for numbers in alike]


def _settled(
    base: AnyItem | None,
    ours: AnyItem | None,
    theirs: AnyItem | None,
    labels: Labels,
    merge: Callable[[AnyItem | None, AnyItem, AnyItem, Labels], Piece],
) -> Piece:
    """Decide on one item that may be missing anywhere; blank lines alone are no change."""
    if _same(ours, theirs) and base not in (ours, theirs):
        return Piece(max(_lines_of(ours), _lines_of(theirs), key=lambda lines: (len(lines), lines)))
    if ours == base or (theirs != base and _same(ours, base)):
        return Piece(_lines_of(theirs))
    if _same(theirs, base):
        return Piece(_lines_of(ours))
    if ours is None or theirs is None:
        return _two_ways(ours, theirs, labels)
    return merge(base, ours, theirs, labels)


def _same(one: Item | None, other: Item | None) -> bool:
    if one is None or other is None:
        return one is other
    return one.content == other.content


def _lines_of(item: Item | None) -> Lines:
    return () if item is None else tuple(item.lines())


def _two_ways(ours: Item | None, theirs: Item | None, labels: Labels) -> Piece:
    """Put both sides between markers, the blank lines above them before the first."""
    one, other = _lines_of(ours), _lines_of(theirs)
    above, above_other = _blank_start(one), _blank_start(other)
    gap = ("",) * max(above, above_other)
    return Piece((*gap, *conflict(one[above:], other[above_other:], labels)), clean=False)


def _blank_start(lines: Lines) -> int:
    return next((number for number, line in enumerate(lines) if line.strip()), 0)


def _woven(
    versions: tuple[Sequence[AnyItem], Sequence[AnyItem], Sequence[AnyItem]],
    pair: _Pair[AnyItem],
    pair_new: _Pair[AnyItem],
    settle: _Settle[AnyItem],
    order: Callable[[Sequence[Addition[AnyItem]]], list[Addition[AnyItem]]],
) -> Piece:
    """Merge three sequences: the base's items in its order, additions behind the item that they followed."""
    base, ours, theirs = versions
    in_ours, in_theirs = pair(base, ours), pair(base, theirs)
    additions: dict[int, list[Addition[AnyItem]]] = {}
    for new in _additions(_new(ours, in_ours), _new(theirs, in_theirs), pair_new, settle):
        additions.setdefault(new.after, []).append(new)
    pieces: list[Piece] = []
    waiting = [*additions.get(0, ())]
    for number, (item, one, other) in enumerate(zip(base, in_ours, in_theirs, strict=True), start=1):
        settled = settle(item, _at(ours, one), _at(theirs, other))
        if settled.lines:  # else what stands before and behind the lost item is in one place now
            pieces += [*_ordered(waiting, order), settled]
            waiting = []
        waiting += additions.get(number, ())
    return _joined([*pieces, *_ordered(waiting, order)])


def _ordered(
    additions: Sequence[Addition[AnyItem]],
    order: Callable[[Sequence[Addition[AnyItem]]], list[Addition[AnyItem]]],
) -> list[Piece]:
    return [Piece(addition.lines, addition.clean) for addition in order(additions)]


def _at(side: Sequence[AnyItem], number: int | None) -> AnyItem | None:
    return None if number is None else side[number]


def _new(side: Sequence[AnyItem], paired: list[int | None]) -> list[tuple[int, int, AnyItem]]:
    """Return what a side added: how many items of the base come before it, its place, itself."""
    numbers = {place: number for number, place in enumerate(paired, start=1)}
    after, found = 0, []
    for place, item in enumerate(side):
        if place in numbers:
            after = numbers[place]
        else:
            found.append((after, place, item))
    return found


def _additions(
    ours: list[tuple[int, int, AnyItem]],
    theirs: list[tuple[int, int, AnyItem]],
    pair_new: _Pair[AnyItem],
    settle: _Settle[AnyItem],
) -> list[Addition[AnyItem]]:
    twins = pair_new([item for _, _, item in ours], [item for _, _, item in theirs])
    found: list[Addition[AnyItem]] = []
    for (after, place, item), twin in zip(ours, twins, strict=True):
        if twin is None:
            found.append(Addition(after, place, None, item, *settle(None, item, None)))
        else:
            other_after, other_place, other = theirs[twin]
            first = min(item, other, key=lambda each: each.content)
            piece = settle(None, item, other)
            found.append(Addition(min(after, other_after), place, other_place, first, *piece))
    paired = frozenset(twins)
    alone = [new for number, new in enumerate(theirs) if number not in paired]
    return found + [
        Addition(after, None, place, item, *settle(None, None, item)) for after, place, item in alone
    ]
