"""Fault models of the textbook, injected into a simulated array of words.

The functional models are those of van de Goor (Testing Semiconductor Memories, from memory): stuck-at, transition,
inversion, idempotent and state coupling faults, and address faults A to D. Between lines of one word they are what
bad joints and bridges do to a whole data line, so a fault of a line is injected into that line of every word. Bridges
(dominant, wired-AND, wired-OR) and an open line that keeps its last level are common models of board faults.
"""

from __future__ import annotations

from typing import NamedTuple


class Array:
    """A memory without a fault; faults change what is stored or what is read."""

    def __init__(self, size: int, width: int) -> None:
        self.size, self.width = size, width
        self.words = [0] * size
        self.faults: list[Fault] = []

    def write(self, address: int, word: int) -> None:
        for place in self._places(address):
            stored = word
            for fault in self.faults:
                stored = fault.stored(self.words[place], word, stored)
            self.words[place] = stored

    def read(self, address: int) -> int:
        places = self._places(address)
        word = self._nothing() if not places else self.words[places[0]]
        for place in places[1:]:
            word &= self.words[place]
        for fault in self.faults:
            word = fault.read(word)
        return word

    def _places(self, address: int) -> list[int]:
        places = [address]
        for fault in self.faults:
            places = fault.places(address, places)
        return places

    def _nothing(self) -> int:
        """Return what is read where no word is: lines that are pulled up."""
        return (1 << self.width) - 1


class Fault:
    """A fault that does nothing yet."""

    def places(self, address: int, places: list[int]) -> list[int]:
        """Return the words that an address reaches."""
        del address
        return places

    def stored(self, before: int, written: int, stored: int) -> int:
        """Return the word that a write leaves, where `stored` is what it leaves but for this fault."""
        del before, written
        return stored

    def read(self, word: int) -> int:
        """Return the word that a read gives."""
        return word


def put(word: int, line: int, value: int) -> int:
    return word | 1 << line if value else word & ~(1 << line)


def bit(word: int, line: int) -> int:
    return word >> line & 1


class StuckAt(Fault):
    """SAF: the line is always read as one value."""

    def __init__(self, line: int, value: int) -> None:
        self.line, self.value = line, value

    def read(self, word: int) -> int:
        return put(word, self.line, self.value)


class Transition(Fault):
    """TF: the cells of the line cannot go to a value."""

    def __init__(self, line: int, to: int) -> None:
        self.line, self.to = line, to

    def stored(self, before: int, written: int, stored: int) -> int:
        fails = bit(before, self.line) != self.to and bit(written, self.line) == self.to
        return put(stored, self.line, 1 - self.to) if fails else stored


class Coupling(Fault):
    """CFin and CFid: a transition of the aggressor to `on` inverts the victim (`value` None) or sets it to a value."""

    def __init__(self, victim: int, aggressor: int, on: int, value: int | None) -> None:
        self.victim, self.aggressor, self.on, self.value = victim, aggressor, on, value

    def stored(self, before: int, written: int, stored: int) -> int:
        if bit(before, self.aggressor) == self.on or bit(written, self.aggressor) != self.on:
            return stored
        value = 1 - bit(written, self.victim) if self.value is None else self.value
        return put(stored, self.victim, value)


class StateCoupling(Fault):
    """CFst: as long as the aggressor is at a state the victim is forced to a value."""

    def __init__(self, victim: int, aggressor: int, state: int, value: int) -> None:
        self.victim, self.aggressor, self.state, self.value = victim, aggressor, state, value

    def read(self, word: int) -> int:
        return put(word, self.victim, self.value) if bit(word, self.aggressor) == self.state else word


class Bridge(Fault):
    """Two lines that touch: one dominates the other, or both carry their AND or OR."""

    def __init__(self, line: int, other: int, how: str) -> None:
        self.line, self.other, self.how = line, other, how

    def read(self, word: int) -> int:
        line, other = bit(word, self.line), bit(word, self.other)
        if self.how == "dominant":
            return put(word, self.line, other)
        both = line & other if self.how == "wired-AND" else line | other
        return put(put(word, self.line, both), self.other, both)


class Open(Fault):
    """A line that nothing drives: it keeps the level that the line beside it left in the read before."""

    def __init__(self, line: int, beside: int) -> None:
        self.line, self.beside = line, beside
        self.level = 0
        self.reads = 0

    def read(self, word: int) -> int:
        value = self.level ^ (self.reads // 3 & 1)
        self.level = bit(word, self.beside)
        self.reads += 1
        return put(word, self.line, value)


class Address(Fault):
    """AF: A no word at the address, B a word never reached, C several words at the address, D one for two addresses."""

    def __init__(self, kind: str, address: int, other: int) -> None:
        self.kind, self.address, self.other = kind, address, other

    def places(self, address: int, places: list[int]) -> list[int]:
        if address != self.address:
            return places
        if self.kind == "A":
            return []
        # B leaves the word of the address alone; the address reaches another one, as in D.
        return [*places, self.other] if self.kind == "C" else [self.other]


class Injected(NamedTuple):
    """A named fault, and what the analysis may say of it: pairs of line and fault, or a fault of words."""

    model: str
    fault: Fault
    lines: dict[int, frozenset[str]]
    partners: frozenset[int] = frozenset()
    words: frozenset[str] = frozenset()


def _one(*names: str) -> frozenset[str]:
    return frozenset(names)


HIGH, LOW = _one("stuck high", "high at times"), _one("stuck low", "low at times")


def line_models(line: int, other: int) -> list[Injected]:
    """Return each fault of a line, with another line as aggressor or partner."""
    single = [
        Injected("SAF 0", StuckAt(line, 0), {line: _one("stuck low")}),
        Injected("SAF 1", StuckAt(line, 1), {line: _one("stuck high")}),
        # A cell that cannot rise starts at 0, so it stays there: in a log it is stuck.
        Injected("TF ↑", Transition(line, 1), {line: LOW}),
        Injected("TF ↓", Transition(line, 0), {line: HIGH}),
        Injected("CFin ↑", Coupling(line, other, 1, None), {line: _one("open")}),
        Injected("CFin ↓", Coupling(line, other, 0, None), {line: _one("open")}),
        Injected("CFid ↑,1", Coupling(line, other, 1, 1), {line: HIGH | {"bridged"}}),
        Injected("CFid ↑,0", Coupling(line, other, 1, 0), {line: LOW}),
        Injected("CFid ↓,1", Coupling(line, other, 0, 1), {line: HIGH}),
        Injected("CFid ↓,0", Coupling(line, other, 0, 0), {line: LOW | {"bridged"}}),
        Injected("CFst 1,1", StateCoupling(line, other, 1, 1), {line: _one("bridged")}),
        Injected("CFst 0,0", StateCoupling(line, other, 0, 0), {line: _one("bridged")}),
        Injected("CFst 1,0", StateCoupling(line, other, 1, 0), {line: LOW}),
        Injected("CFst 0,1", StateCoupling(line, other, 0, 1), {line: HIGH}),
        Injected("dominant", Bridge(line, other, "dominant"), {line: _one("bridged")}),
        Injected(
            "wired-AND", Bridge(line, other, "wired-AND"), {line: _one("bridged"), other: _one("bridged")}
        ),
        Injected(
            "wired-OR", Bridge(line, other, "wired-OR"), {line: _one("bridged"), other: _one("bridged")}
        ),
        Injected("open", Open(line, other), {line: _one("open")}),
    ]
    return [one._replace(partners=frozenset({line, other})) for one in single]


def address_models(address: int, other: int) -> list[Injected]:
    """Return each address fault."""
    return [
        Injected(f"AF {kind}", Address(kind, address, other), {}, words=_one("whole words"))
        for kind in "ABCD"
    ]


def array_with(size: int, width: int, *faults: Injected) -> Array:
    array = Array(size, width)
    array.faults = [one.fault for one in faults]
    return array
