"""English words that another language may say in its own way: the words with places, and what goes into the places.

All of them are texts in English, so whatever knows nothing of languages uses them as it uses any text. Put into an
f-string they become plain text: what is made of several is a `Phrase` with them as values, or `joined`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping


class Figure(str):
    """A figure with its unit as English writes it, such as "0.4 Ω": the decimal sign is another in other languages."""

    __slots__ = ()


class IsoDay(str):
    """A day as the files have it, such as "2026-10-19": other languages write short days in their own way."""

    __slots__ = ()


class Typed(str):
    """Words that come from a file of the book, such as the name of a trial: a catalogue may have them."""

    __slots__ = ()


class Phrase(str):
    """Words that a catalogue may have in another language; `pattern` has places such as {day} for the `values`.

    `context` tells words apart that are spelled alike in English and not elsewhere: "what" over a list of services.
    """

    pattern: str
    values: Mapping[str, object]
    context: str

    def __new__(cls, pattern: str, values: Mapping[str, object] | None = None, context: str = "") -> Phrase:
        """Fill in the places, in English."""
        made = super().__new__(cls, pattern.format_map(values) if values else pattern)
        made.pattern, made.values, made.context = pattern, values or {}, context
        return made


class Joined(str):
    """Texts with something between them, each to be said in the language of the whole."""

    parts: tuple[str, ...]
    between: str

    def __new__(cls, between: str, parts: Iterable[str] = ()) -> Joined:
        """Join what is not empty."""
        kept = tuple(part for part in parts if part)
        made = super().__new__(cls, between.join(kept))
        made.parts, made.between = kept, between
        return made


def phrase(pattern: str, context: str = "", **values: object) -> Phrase:
    """Make a phrase; the pattern is written out where this is called, for the search that fills the catalogues.

    >>> phrase("ran only {minutes} min", minutes=12)
    'ran only 12 min'
    """
    return Phrase(pattern, values, context)


def joined(between: str, parts: Iterable[str]) -> Joined:
    """Join texts, leaving out empty ones.

    >>> joined("; ", [phrase("no log"), "", "x"])
    'no log; x'
    """
    return Joined(between, parts)
