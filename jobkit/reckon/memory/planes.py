"""Words as bit planes: one big integer a data line, in which each bit is one word.

Counting over some thousand words at once is then a few operations on big integers, which is quick without a library
for arrays. All planes of a batch have its words in the same order.
"""

from __future__ import annotations

import sys
from array import array
from collections.abc import Iterable, Sequence
from functools import lru_cache, reduce
from operator import or_

from jobkit.named_tuple import NamedTuple

_SWAPS = ((7, 0x00AA00AA00AA00AA), (14, 0x0000CCCC0000CCCC), (28, 0x00000000F0F0F0F0))
"""Steps that transpose 8 x 8 bits in a word of 64: Warren, Hacker's Delight, 2nd edition, 7-3."""


class WordPairs(NamedTuple):
    """Words written and words read as planes, the planes of line 0 first; `all` is the plane that has every word."""

    written: list[int]
    read: list[int]
    all: int


def word_pairs(text: str, width: int) -> WordPairs:
    r"""Return hexadecimal words as planes: a line with a word written, a line with the word read, and so on.

    Each has as many digits as `width` bits need. Raises ValueError if one has another number or is not hexadecimal.

    >>> word_pairs("a5\naf\n00\n00", 8).all.bit_count()
    2
    """
    digits = (width + 3) // 4
    rows, feeds = divmod(text.count("\n"), 2)
    if len(text) != (digits + 1) * 2 * (rows + 1) - 1 or text[digits :: digits + 1] != "\n" * (
        2 * rows + feeds
    ):
        raise ValueError("words of unequal width")
    data = bytes.fromhex("0" + text.replace("\n", "\n0") if digits % 2 else text)
    size = (digits + 1) // 2
    if len(data) != size * 2 * (rows + 1):
        raise ValueError("a space within a word")
    # The low byte of a word is the last of its bytes.
    written = _planes(data, range(size - 1, -1, -1), 2 * size)[:width]
    read = _planes(data, range(2 * size - 1, size - 1, -1), 2 * size)[:width]
    return WordPairs(written, read, _transposed(b"\1" * (rows + 1))[0])


def more_than(limit: int, planes: Sequence[int]) -> int:
    """Return the plane of the words that are in more than `limit` of the planes.

    >>> more_than(1, [0b0111, 0b0011, 0b0001])
    3
    """
    digits: list[int] = []
    for plane in planes:
        carry = plane
        for place, digit in enumerate(digits):
            digits[place], carry = digit ^ carry, digit & carry
            if not carry:
                break
        if carry:
            digits.append(carry)
    more, equal = 0, reduce(or_, planes)
    for place in reversed(range(max(len(digits), limit.bit_length()))):
        digit = digits[place] if place < len(digits) else 0
        if limit >> place & 1:
            equal &= digit
        else:
            more |= equal & digit
            equal &= ~digit
    return more


def patterns(planes: Sequence[int], among: int, most: int) -> set[int] | None:
    """Return the different words among those of a plane; None if there are more than `most`.

    >>> sorted(patterns([0b011, 0b110], 0b111, 3) or ())
    [1, 2, 3]
    """
    groups = {0: among} if among else {}
    for line, plane in enumerate(planes):
        split = ((word, group & ~plane, word | 1 << line, group & plane) for word, group in groups.items())
        groups = {
            word: group
            for without, rest, with_line, chosen in split
            for word, group in ((without, rest), (with_line, chosen))
            if group
        }
        if len(groups) > most:
            return None
    return set(groups)


class Weights:
    """How often each word of a batch occurred, as planes: counting with them adds up occurrences."""

    def __init__(self, times: array[int]) -> None:
        size = (max(times).bit_length() + 7) // 8
        places = range(size) if sys.byteorder == "little" else range(7, 7 - size, -1)
        planes = _planes(times.tobytes(), places, 8)
        self._planes = [(power, plane) for power, plane in enumerate(planes) if plane]

    def count(self, plane: int) -> int:
        r"""Return how often the words of a plane occurred.

        >>> Weights(array("Q", [5, 1, 2])).count(word_pairs("1\n0\n1\n0\n1\n0", 4).all)
        8
        """
        total = 0
        for power, weight in self._planes:
            total += (plane & weight).bit_count() << power
        return total


def _planes(data: bytes, places: Iterable[int], step: int) -> list[int]:
    """Return the planes of the bytes at some places of each `step` bytes, eight a byte, the low bit first."""
    return [plane for place in places for plane in _transposed(data[place::step])]


def _transposed(column: bytes) -> list[int]:
    """Return the planes of the eight bits of a byte of each word, the low bit first."""
    blocks = (len(column) + 7) // 8
    square = int.from_bytes(column.ljust(blocks * 8, b"\0"))
    for shift, mask in _SWAPS:
        swapped = (square ^ (square >> shift)) & _repeated(mask, blocks)
        square ^= swapped ^ (swapped << shift)
    rows = square.to_bytes(blocks * 8)
    return [int.from_bytes(rows[7 - bit :: 8]) for bit in range(8)]


@lru_cache(maxsize=64)
def _repeated(mask: int, blocks: int) -> int:
    return int.from_bytes(mask.to_bytes(8) * blocks)
