"""Suggest what a mistyped name may have meant."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Collection, Iterable, Iterator
from functools import lru_cache

from jobkit.units.slip import either_quoted

_SHOWN = 8
_ALIKE = 3
"""So many names are suggested where they are equally near."""
_LONGEST = 60
"""What has more letters is not a mistyped name."""
_AROUND = 50
"""So many names to either side are looked at closely, so that a suggestion among many thousand takes no longer."""


def suggest(word: str, known: Collection[str], else_say: str) -> str:
    """Say what to write instead of `word`: the nearest of the known names, else all of them if they are few.

    Where several names are equally near, all of them are said. `else_say` is said where nothing is near. Give the same
    collection for the same names: it is put in order once.

    >>> suggest("VMEN", ["VCORE", "VMEM", "V12"], "see the board file")
    'write "VMEM"'
    >>> suggest("dmm-3", ["dmm-1", "dmm-2", "lcr-1"], "add it to meters.toml")
    'write "dmm-1" or "dmm-2"'
    >>> suggest("fan", ["VCORE", "V12"], "add it to the board file")
    'add it to the board file; known names: V12, VCORE'
    """
    names = _in_order(_TheSame(known))
    near = _nearest(names, word)
    if near:
        return f"write {either_quoted(near)}"
    if not names.shown:
        return else_say
    more = " and others" if len(names.shown) > _SHOWN else ""
    return f"{else_say}; known names: {', '.join(names.shown[:_SHOWN])}{more}"


class _Names:
    """Known names in order, by their first letters and by their last."""

    def __init__(self, known: Iterable[str]) -> None:
        names = sorted(set(known))
        self.shown = names[: _SHOWN + 1]
        self._by_small = {name.casefold(): name for name in reversed(names) if len(name) <= _LONGEST}
        self._forward = sorted(self._by_small)
        self._backward = sorted(small[::-1] for small in self._by_small)

    def nearest(self, word: str) -> list[str]:
        """Give the names most like a word; a name that shares neither beginning nor end with it is not looked at."""
        # Loaded only where something is mistyped, so that a clean book need not wait for it.
        from jobkit.units.most_alike import most_alike  # noqa: PLC0415

        small = word.casefold()
        if len(small) > _LONGEST:
            return []
        few = sorted(
            {*_around(small, self._forward), *(one[::-1] for one in _around(small[::-1], self._backward))}
        )
        near = most_alike(small, few, 0.6 if len(word) < 8 else 0.7)
        return [self._by_small[name] for name in near[:_ALIKE]]


def _around(word: str, names: list[str]) -> Iterator[str]:
    place = bisect_left(names, word)
    yield from names[max(0, place - _AROUND) : place + _AROUND]


@lru_cache(maxsize=256)  # a name that was taken out of stock.toml is unknown in job after job
def _nearest(names: _Names, word: str) -> list[str]:
    return names.nearest(word)


class _TheSame:
    """A collection that is equal to none but itself: to tell that takes no time, however many names it has."""

    def __init__(self, names: Collection[str]) -> None:
        self.names = names

    def __hash__(self) -> int:
        return id(self.names)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _TheSame) and self.names is other.names


@lru_cache(maxsize=16)
def _in_order(known: _TheSame) -> _Names:
    return _Names(known.names)
