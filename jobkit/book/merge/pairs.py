"""Which block of a changed file is which block of the file it came from."""

from collections.abc import Callable, Container, Hashable, Iterable, Sequence

from jobkit.book.merge.blocks import Block
from jobkit.book.toml.outline import KeyPath
from jobkit.jobs.identity import IDENTITY

# A changed entry without identity is taken for the same one if it kept at least this share of its statements.
_ALIKE = 0.5
# Of many that may be the same, those are compared whose places differ by no more: all with all would take too long.
_NEAR = 24


def pairs(base: Sequence[Block], side: Sequence[Block]) -> list[int | None]:
    """Return for each block of `base` its index in `side`, None where it is gone.

    Tables are the same by name. Entries are the same by their whole content; among those left, by identity; where they
    have none, or one that does not tell their time, by likeness. Where several fit, the likest go together.
    """
    found: dict[int, int] = {}
    taken: set[int] = set()

    def take(number: int, other: int) -> None:
        if number not in found and other not in taken:
            found[number] = other
            taken.add(other)

    for mine, yours in _groups(_content, base, side, found, taken):
        for number, other in zip(mine, yours, strict=False):
            take(number, other)
    for key, least in ((_identity, 0.0), (_untimed, _ALIKE)):
        for number, other in _by_likeness(base, side, _groups(key, base, side, found, taken), least):
            take(number, other)
    return [found.get(number) for number in range(len(base))]


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


def _groups(
    key: Callable[[Block], Hashable],
    base: Sequence[Block],
    side: Sequence[Block],
    found: Container[int],
    taken: Container[int],
) -> list[tuple[list[int], list[int]]]:
    """Put together what has the same key: the blocks of base and side that are alone still, each in their order."""
    groups: dict[Hashable, tuple[list[int], list[int]]] = {}
    for number, block in enumerate(base):
        if number not in found:
            groups.setdefault(key(block), ([], []))[0].append(number)
    for number, block in enumerate(side):
        if number not in taken and (same := groups.get(key(block))):
            same[1].append(number)
    return list(groups.values())


def _by_likeness(
    base: Sequence[Block], side: Sequence[Block], groups: Iterable[tuple[list[int], list[int]]], least: float
) -> list[tuple[int, int]]:
    """Return the pairs within the groups that are alike enough, the likest first, then in order."""
    fit = []
    for mine, yours in groups:
        statements = {other: _pairs_of(side[other]) for other in yours}
        for place, number in enumerate(mine):
            own = _pairs_of(base[number])
            for other in yours[max(0, place - _NEAR) : place + _NEAR + 1]:
                share = _likeness(own, statements[other])
                if share >= least:
                    fit.append((-share, number, other))
    return [(number, other) for _, number, other in sorted(fit)]


def _pairs_of(block: Block) -> frozenset[tuple[KeyPath, str]]:
    return frozenset((statement.key, statement.value) for statement in block.statements)


def _likeness(one: frozenset[tuple[KeyPath, str]], other: frozenset[tuple[KeyPath, str]]) -> float:
    """Return the share of statements that two entries have in common, 0 to 1."""
    return len(one & other) / max(len(one), len(other), 1)
