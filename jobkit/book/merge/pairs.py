"""Which block of a changed file is which block of the file it came from."""

from collections.abc import Callable, Hashable, Iterator, Sequence

from jobkit.book.merge.blocks import Block
from jobkit.book.toml.outline import KeyPath
from jobkit.jobs.identity import IDENTITY

# A changed entry without identity is taken for the same one if it kept at least this share of its statements.
_ALIKE = 0.5


def pairs(base: Sequence[Block], side: Sequence[Block]) -> list[int | None]:
    """Return for each block of `base` its index in `side`, None where it is gone.

    Tables are the same by name. Entries are the same by their whole content; among those left, by identity; where they
    have none, or one that does not tell their time, by likeness. Where several fit, the likest go together.
    """
    found: list[int | None] = [None] * len(base)
    for number, others in _candidates(_content, base, side, found):
        free = [other for other in others if other not in found]
        found[number] = free[0] if free else None
    for key, least in ((_identity, 0.0), (_untimed, _ALIKE)):
        for number, other in _by_likeness(base, side, list(_candidates(key, base, side, found)), least):
            if found[number] is None and other not in found:
                found[number] = other
    return found


def _content(block: Block) -> Hashable:
    return (block.name, block.content) if block.is_entry else block.name


def _identity(block: Block) -> Hashable:
    """Give the name of a table, what makes an entry this one, or all of an entry for which nothing does."""
    if not block.is_entry:
        return block.name
    values = {statement.key[0]: statement.value for statement in block.statements}
    identity = tuple(values.get(key) for key in IDENTITY.get(block.name, ()))
    return (block.name, identity) if any(identity) else _content(block)


def _untimed(block: Block) -> Hashable:
    """Give what entries have in common that may be the same one though their keys differ: not their time."""
    is_timed = "at" in IDENTITY.get(block.name, ()) and _identity(block) != _content(block)
    return _content(block) if is_timed else block.name


def _candidates(
    key: Callable[[Block], Hashable],
    base: Sequence[Block],
    side: Sequence[Block],
    found: Sequence[int | None],
) -> Iterator[tuple[int, list[int]]]:
    """Yield each block of the base that is alone still, with the blocks of the side that are too and have its key."""
    taken = set(found)
    waiting: dict[Hashable, list[int]] = {}
    for number, block in enumerate(side):
        if number not in taken:
            waiting.setdefault(key(block), []).append(number)
    for number, block in enumerate(base):
        if found[number] is None and key(block) in waiting:
            yield number, waiting[key(block)]


def _by_likeness(
    base: Sequence[Block], side: Sequence[Block], candidates: Sequence[tuple[int, list[int]]], least: float
) -> list[tuple[int, int]]:
    """Return the pairs that are alike enough, the likest first, then in order."""
    mine = {number: _pairs_of(base[number]) for number, _ in candidates}
    yours = {other: _pairs_of(side[other]) for _, others in candidates for other in others}
    likeness = {
        (number, other): _likeness(mine[number], yours[other])
        for number, others in candidates
        for other in others
    }
    fit = [pair for pair, share in likeness.items() if share >= least]
    return sorted(fit, key=lambda pair: (-likeness[pair], pair))


def _pairs_of(block: Block) -> frozenset[tuple[KeyPath, str]]:
    return frozenset((statement.key, statement.value) for statement in block.statements)


def _likeness(one: frozenset[tuple[KeyPath, str]], other: frozenset[tuple[KeyPath, str]]) -> float:
    """Return the share of statements that two entries have in common, 0 to 1."""
    return len(one & other) / max(len(one), len(other), 1)
