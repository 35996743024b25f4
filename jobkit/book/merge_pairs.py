"""Which block of a changed file is which block of the file it came from."""

from collections import Counter
from collections.abc import Callable, Hashable, Sequence

from jobkit.book.merge_blocks import Block

# What makes an entry this one and no other; entries of other lists are known by their content.
_IDENTITY = {
    ("reading",): ("at", "point", "to", "kind", "when"),
    ("work",): ("at", "did", "part"),
    ("used",): ("at", "part", "item"),
    ("trial",): ("at", "run"),
    ("meter",): ("name",),
    ("rail",): ("name",),
    ("point",): ("name",),
    ("cause",): ("name",),
    ("check",): ("name",),
    ("memory",): ("part",),
}

# A changed entry without identity is taken for the same one if it kept at least this share of its statements.
_ALIKE = 0.5


def pairs(base: Sequence[Block], side: Sequence[Block]) -> list[int | None]:
    """Return for each block of `base` its index in `side`, None where it is gone.

    Tables are the same by name; entries by their whole content first, then by identity, at last (where their
    kind has none) by likeness, each time in order.
    """
    found: list[int | None] = [None] * len(base)
    for key in (_content, _identity):
        _pair_by(key, base, side, found)
    _pair_alike(base, side, found)
    return found


def _content(block: Block) -> Hashable:
    return (block.name, block.content) if block.is_entry else block.name


def _identity(block: Block) -> Hashable | None:
    if not block.is_entry or block.name not in _IDENTITY:
        return None
    values = {statement.key[0]: statement.value for statement in block.statements}
    identity = tuple(values.get(key) for key in _IDENTITY[block.name])
    return (block.name, identity) if any(identity) else None


def _pair_by(
    key: Callable[[Block], Hashable | None],
    base: Sequence[Block],
    side: Sequence[Block],
    found: list[int | None],
) -> None:
    """Pair what has one key, in order, among all that is still alone."""
    waiting: dict[Hashable, list[int]] = {}
    for number in _alone(side, found):
        waiting.setdefault(key(side[number]), []).append(number)
    for number, block in enumerate(base):
        its_key = key(block)
        if found[number] is None and its_key is not None and waiting.get(its_key):
            found[number] = waiting[its_key].pop(0)


def _pair_alike(base: Sequence[Block], side: Sequence[Block], found: list[int | None]) -> None:
    alone = [number for number in _alone(side, found) if _is_known_by_content(side[number])]
    for number, block in enumerate(base):
        if found[number] is None and _is_known_by_content(block) and alone:
            best = max(alone, key=lambda other: (_likeness(block, side[other]), -other))
            if _likeness(block, side[best]) >= _ALIKE:
                found[number] = best
                alone.remove(best)


def _alone(side: Sequence[Block], found: list[int | None]) -> list[int]:
    taken = set(found)
    return [number for number in range(len(side)) if number not in taken]


def _is_known_by_content(block: Block) -> bool:
    return block.is_entry and block.name not in _IDENTITY


def _likeness(one: Block, other: Block) -> float:
    """Return the share of statements that two entries of one list have in common, 0 to 1."""
    if one.name != other.name or not one.statements:
        return 0.0
    mine, theirs = (Counter((each.key, each.value) for each in block.statements) for block in (one, other))
    return (mine & theirs).total() / max(mine.total(), theirs.total())
