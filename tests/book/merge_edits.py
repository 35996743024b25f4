"""Random files of a book and random edits of them, and what a merge of two edits must come to.

The file is a model first and a text second, so that what two benches meant can be put together without
merging any text. Every value is written once only: a line that is lost, or comes from nowhere, shows.
"""

from collections import Counter
from collections.abc import Iterable
from random import Random
from typing import NamedTuple

_TABLES = ("board", "intake", "dates", "cause", "price", "warranty", "own", "firmware")
_LISTS = ("reading", "work", "used", "trial", "wait", "pad", "seen", "point")
_INNER = {"point": "limit", "price": "agreed", "reading": "remark"}
_KEYS = ("what", "value", "note", "place", "by", "more", "other", "last")


class Part(NamedTuple):
    """One table or one entry of a list; `number` tells it from all others, through every copy."""

    number: int
    name: str
    is_entry: bool
    notes: tuple[str, ...]
    pairs: dict[str, str]
    inner: "tuple[Part, ...]" = ()


class Doc(NamedTuple):
    """A whole file: its first keys, and its tables and entries."""

    top: Part
    parts: tuple[Part, ...]


class Style(NamedTuple):
    """How a text is written down: spaces before =, blank lines before a header, line ends, the last of them."""

    width: int
    gap: int
    newline: str
    ended: bool


class Author:
    """Writes and edits files; all that it writes is new in the world."""

    def __init__(self, seed: int) -> None:
        self.chance = Random(seed)  # noqa: S311 - nothing secret
        self._count = 0
        self._tables: set[str] = set()

    def style(self) -> Style:
        """Choose how to write."""
        newline = self.chance.choice(("\n", "\n", "\r\n"))
        return Style(
            self.chance.choice((0, 0, 8)),
            self.chance.choice((0, 1, 1, 2)),
            newline,
            self.chance.random() < 0.8,
        )

    def doc(self) -> Doc:
        """Write a file."""
        tables = self.chance.sample(_TABLES, self.chance.randint(0, 5))
        lists = [self.chance.choice(_LISTS) for _ in range(self.chance.randint(0, 8))]
        if self.chance.random() < 0.5:
            lists.sort()
        parts = [self._part(name, is_entry=False) for name in tables]
        parts += [self._part(name, is_entry=True) for name in lists]
        return Doc(self._part("", is_entry=False)._replace(notes=()), tuple(parts))

    def edited(self, doc: Doc, *, only_add: bool = False) -> Doc:
        """Edit a file one to four times."""
        self._tables = {part.name for part in doc.parts}
        for _ in range(self.chance.randint(1, 4)):
            edit = (
                self._added
                if only_add
                else self.chance.choice((self._added, self._changed, self._changed, self._removed))
            )
            doc = edit(doc)
        return doc

    def _new(self, word: str) -> str:
        self._count += 1
        return f"{word} {self._count} {self.chance.randrange(16**6):06x}"

    def _time(self) -> str:
        # No time twice: an entry taken out and another of the same moment would be one entry changed.
        self._count += 1
        return (
            f"2026-10-{self.chance.randint(1, 3):02}T{self.chance.randint(8, 17):02}:00:00.{self._count:03}"
        )

    def _part(self, name: str, *, is_entry: bool) -> Part:
        keys = self.chance.sample(_KEYS, self.chance.randint(4 if is_entry else bool(name), 6))
        pairs = {key: self._value() for key in keys}
        if is_entry and self.chance.random() < 0.7:
            pairs = {"at": self._time(), **pairs}
        if is_entry and (name == "point" or "at" not in pairs):
            pairs["name"] = self._value()
        number = self.chance.randrange(10**12)
        inner = _INNER.get(name)
        count = self.chance.choice((0, 0, 1, 2)) if inner else 0
        inside = tuple(self._part(f"{name}.{inner}", is_entry=True) for _ in range(count))
        return Part(number, name, is_entry, self._notes(), pairs, inside)

    def _notes(self) -> tuple[str, ...]:
        return (f"# {self._new('note')}",) if self.chance.random() < 0.3 else ()

    def _value(self) -> str:
        word = f'"{self._new("value")}"'
        return self.chance.choice(
            (
                word,
                word,
                f"[{word}, 1]",
                f"[\n  {word},\n  [2, 3],\n]",
                f'"""\n[[reading]]\n{self._new("text")}\n"""',
            )
        )

    def _added_table(self, doc: Doc) -> Doc:
        # A table taken out and written anew is a table changed: the model tells parts by number and would
        # miss it.
        self._tables |= {part.name for part in doc.parts}
        absent = [name for name in _TABLES if name not in self._tables]
        if not absent:
            return doc
        new = self._part(self.chance.choice(absent), is_entry=False)
        return doc._replace(parts=(*doc.parts, new))

    def _added(self, doc: Doc) -> Doc:
        parents = [part for part in doc.parts if part.name in _INNER]
        if parents and self.chance.random() < 0.3:
            parent = self.chance.choice(parents)
            new = self._part(f"{parent.name}.{_INNER[parent.name]}", is_entry=True)
            return _with(doc, parent._replace(inner=(*parent.inner, new)))
        new = self._part(self.chance.choice(_LISTS), is_entry=True)
        place = self.chance.choice((len(doc.parts), len(doc.parts), self.chance.randint(0, len(doc.parts))))
        return doc._replace(parts=(*doc.parts[:place], new, *doc.parts[place:]))

    def _changed(self, doc: Doc) -> Doc:
        parts = [part for part in all_parts(doc) if part.is_entry or part.pairs or not part.name]
        part = self.chance.choice(parts)
        keys = [key for key in part.pairs if key not in {"at", "name"}]
        deed = self.chance.random()
        if deed < 0.2 and part.name:
            return _with(doc, part._replace(notes=(*part.notes, f"# {self._new('remark')}")))
        if deed < 0.4 and len(keys) > 3:
            gone = self.chance.choice(keys)
            return _with(
                doc, part._replace(pairs={key: value for key, value in part.pairs.items() if key != gone})
            )
        key = self.chance.choice(keys) if keys and deed < 0.8 else self.chance.choice(_KEYS)
        return _with(doc, part._replace(pairs={**part.pairs, key: self._value()}))

    def _removed(self, doc: Doc) -> Doc:
        parts = [part for part in all_parts(doc) if part.name]
        return _without(doc, self.chance.choice(parts)) if parts else doc


def all_parts(doc: Doc) -> list[Part]:
    """Return the head, all tables and entries, and those inside entries."""
    return [doc.top, *(one for part in doc.parts for one in (part, *part.inner))]


def _with(doc: Doc, new: Part) -> Doc:
    """Put a part in the place of the one with its number."""
    if new.number == doc.top.number:
        return doc._replace(top=new)
    parts = [new if part.number == new.number else part for part in doc.parts]
    return doc._replace(
        parts=tuple(
            part._replace(inner=tuple(new if one.number == new.number else one for one in part.inner))
            for part in parts
        )
    )


def _without(doc: Doc, gone: Part) -> Doc:
    parts = [part for part in doc.parts if part.number != gone.number]
    return doc._replace(
        parts=tuple(
            part._replace(inner=tuple(one for one in part.inner if one.number != gone.number))
            for part in parts
        )
    )


def written(doc: Doc, style: Style) -> str:
    """Return the text of a file."""
    lines = _part_lines(doc.top, style)
    for part in all_parts(doc)[1:]:
        lines += [""] * style.gap
        lines += _part_lines(part, style)
    text = "\n".join(lines) + "\n" * style.ended
    return text.replace("\n", style.newline)


def _part_lines(part: Part, style: Style) -> list[str]:
    head = "#:schema ../../schema/job.schema.json\nformat = 1"
    if part.name:
        head = f"[[{part.name}]]" if part.is_entry else f"[{part.name}]"
    return [*part.notes, head, *(f"{key:{style.width}} = {value}" for key, value in part.pairs.items())]


class Outcome(NamedTuple):
    """What two edits come to: whether both changed one thing, and what is there if not."""

    collides: bool
    lines: "Counter[str]"


def outcome(base: Doc, ours: Doc, theirs: Doc, style: Style) -> Outcome:
    """Put two edits together by what they meant, part for part and key for key.

    `lines` are the merged file's lines that are not blank, in any order.
    """
    old, one, other = map(_by_number, (base, ours, theirs))
    merged: list[Part] = []
    collides = False
    for number, part in old.items():
        mine, yours = one.get(number), other.get(number)
        if mine is not None and yours is not None:
            both, clash = _both(part, mine, yours)
            merged.append(both)
            collides |= clash
        else:
            collides |= part not in (mine or part, yours or part)
            collides |= any(left not in (None, part) for left in (mine, yours))
    added, clash = _all_added(
        [part for number, part in one.items() if number not in old],
        [part for number, part in other.items() if number not in old],
    )
    return Outcome(collides or clash, _lines((*merged, *added), style))


def _all_added(ours: list[Part], theirs: list[Part]) -> tuple[list[Part], bool]:
    """Put additions together: a table that both added is one, merged key for key."""
    tables = {part.name: part for part in ours if not part.is_entry}
    collides = False
    for part in theirs:
        twin = None if part.is_entry else tables.get(part.name)
        if twin is None:
            ours.append(part)
        else:
            ours[ours.index(twin)], clash = _both(twin._replace(pairs={}, notes=()), twin, part)
            collides |= clash
    return ours, collides


def _both(base: Part, ours: Part, theirs: Part) -> tuple[Part, bool]:
    clash = False
    pairs: dict[str, str] = {}
    for key in dict.fromkeys((*base.pairs, *ours.pairs, *theirs.pairs)):
        values = {side.pairs.get(key) for side in (ours, theirs)} - {base.pairs.get(key)}
        clash |= len(values) > 1
        value = values.pop() if values else base.pairs.get(key)
        if value is not None:
            pairs[key] = value
    notes = (*ours.notes, *(note for note in theirs.notes if note not in ours.notes))
    return base._replace(pairs=pairs, notes=notes), clash


def _by_number(doc: Doc) -> dict[int, Part]:
    return {part.number: part for part in all_parts(doc)}


def _lines(parts: Iterable[Part], style: Style) -> "Counter[str]":
    lines: Counter[str] = Counter()
    for part in parts:
        text = "\n".join(_part_lines(part, style))
        lines.update(line for line in text.split("\n") if line.strip())
    return lines


def recognisable(base: Doc, side: Doc) -> bool:
    """Return whether each changed entry without identity has kept at least half of what it said."""
    old = _by_number(base)
    for number, part in _by_number(side).items():
        if number in old and part.is_entry and "at" not in part.pairs and part.name != "point":
            kept = len(part.pairs.items() & old[number].pairs.items())
            if kept * 2 < max(len(part.pairs), len(old[number].pairs)):
                return False
    return True
