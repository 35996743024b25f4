"""Memory tests as the textbook writes them, run over a simulated array.

Notation and tests: A. J. van de Goor, Testing Semiconductor Memories: Theory and Practice (from memory; the operation
counts 5 n of MATS+ and 10 n of March C- are those of the book). A march element is an order of addresses and the
operations at each: `w0` writes the data background, `w1` its complement, `r0` and `r1` read and expect them. Words have
several lines, so a march runs once for each data background: log2 of the width, and the solid one.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import NamedTuple, Protocol

MARCH_C_MINUS = "⇕(w0); ⇑(r0,w1); ⇑(r1,w0); ⇓(r0,w1); ⇓(r1,w0); ⇕(r0)"
MATS_PLUS = "⇕(w0); ⇑(r0,w1); ⇓(r1,w0)"

Operation = tuple[str, int]
"""`r` or `w`, and 0 for the background or 1 for its complement."""


class Element(NamedTuple):
    """A march element: whether addresses go down, and the operations at each address."""

    down: bool
    operations: tuple[Operation, ...]


class Memory(Protocol):
    """What a test is run on: words of `width` lines at addresses from 0 below `size`."""

    width: int
    size: int

    def write(self, address: int, word: int) -> None:
        """Write a word."""

    def read(self, address: int) -> int:
        """Read a word."""


class Read(NamedTuple):
    """One read of a test: the word that should be there, and the word that was read."""

    written: int
    read: int


Run = Callable[[Memory], Iterator[Read]]


def parsed(march: str) -> tuple[Element, ...]:
    """Parse a march test."""
    return tuple(
        Element(order == "⇓", tuple((one[0], int(one[1])) for one in operations.split(",")))
        for order, operations in re.findall(r"([⇑⇓⇕])\(([rw01,]+)\)", march)
    )


def backgrounds(width: int) -> list[int]:
    """Return the data backgrounds of a word of a width: solid zeros, then stripes of 1, 2, 4 … lines."""
    solid = [0]
    stripe = 1
    while stripe < width:
        solid.append(sum(1 << line for line in range(width) if line // stripe % 2 == 0))
        stripe *= 2
    return solid


def march(text: str) -> Run:
    """Return a march test over all backgrounds."""
    elements = parsed(text)

    def run(memory: Memory) -> Iterator[Read]:
        for background in backgrounds(memory.width):
            words = (background, background ^ ((1 << memory.width) - 1))
            for element in elements:
                addresses = range(memory.size)
                for address in reversed(addresses) if element.down else addresses:
                    for operation, value in element.operations:
                        if operation == "w":
                            memory.write(address, words[value])
                        else:
                            yield Read(words[value], memory.read(address))

    return run


def checkerboard(memory: Memory) -> Iterator[Read]:
    """Write stripes of single lines, turned over from address to address, read them, and again the other way round."""
    stripes = backgrounds(memory.width)[1]
    full = (1 << memory.width) - 1
    for first in (stripes, stripes ^ full):
        words = [first if address % 2 == 0 else first ^ full for address in range(memory.size)]
        for address, word in enumerate(words):
            memory.write(address, word)
        for address, word in enumerate(words):
            yield Read(word, memory.read(address))


def walking(memory: Memory) -> Iterator[Read]:
    """Write a single one on each line in turn, then a single zero: what the answers advise against doubt."""
    full = (1 << memory.width) - 1
    for line in range(memory.width):
        for word in (1 << line, full ^ 1 << line):
            for address in range(memory.size):
                memory.write(address, word)
            for address in range(memory.size):
                yield Read(word, memory.read(address))


TESTS: dict[str, Run] = {
    "March C−": march(MARCH_C_MINUS),
    "MATS+": march(MATS_PLUS),
    "checkerboard": checkerboard,
    "walking": walking,
}
