"""The array of a package's balls: which names its balls can have."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import lru_cache
from itertools import product

from jobkit.named_tuple import NamedTuple

SKIPPED = frozenset("IOQSXZ")
"""Letters that name no row, since they are taken for digits or for other letters: JEDEC JEP95 (from memory)."""

LETTERS = tuple(letter for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ" if letter not in SKIPPED)

_BALL = re.compile(r"([A-Z]{1,2})([0-9]{1,3})")


class BallArray(NamedTuple):
    """Rows, by the letters of the first and the last ("A-V"), and how many columns, numbered from 1."""

    rows: str = ""
    columns: Decimal = Decimal(0)

    @property
    def row_names(self) -> tuple[str, ...]:
        """Name the rows from the first to the last; none where one of them is not the name of a row.

        >>> BallArray("G-L", Decimal(4)).row_names
        ('G', 'H', 'J', 'K', 'L')
        """
        first, _, last = self.rows.partition("-")
        names = _rows()
        return names[names.index(first) : names.index(last) + 1] if {first, last} <= {*names} else ()

    def has(self, ball: str) -> bool:
        """Tell whether a ball can be one of the package's.

        >>> [BallArray("A-V", Decimal(14)).has(ball) for ball in ("K11", "K15", "I1")]
        [True, False, False]
        """
        found = ball_name(ball)
        return found is not None and found[0] in self.row_names and 1 <= found[1] <= self.columns


def ball_name(ball: str) -> tuple[str, int] | None:
    """Take the name of a ball apart into row and column; None where it is not letters and a number.

    >>> ball_name("k11"), ball_name("4")
    (('K', 11), None)
    """
    found = _BALL.fullmatch(ball.upper())
    return (found[1], int(found[2])) if found else None


def is_row(letters: str) -> bool:
    """Tell whether letters can name a row of any array."""
    return letters in _rows()


@lru_cache(maxsize=1)
def _rows() -> tuple[str, ...]:
    """Name the rows that there can be: A to Y, then AA, AB and so on."""
    return (*LETTERS, *(first + second for first, second in product(LETTERS, repeat=2)))
