"""One catalogue as `gettext` of the standard library uses it: checked, with the form for each number."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from gettext import NullTranslations, c2py
from string import Formatter

from jobkit.named_tuple import NamedTuple
from jobkit.pages.language.po_file import CatalogueError, Entry, header
from jobkit.units.slip import either, quoted

_PLURAL = re.compile(r"\s*nplurals\s*=\s*([1-6])\s*;\s*plural\s*=\s*([^;]{1,400});?\s*")
_TWO = "nplurals=2; plural=(n != 1);"
"""The forms of German, Dutch and many others; for a catalogue that does not say."""
_TRIED = 2000
_COUNT = "count"
"""The place that a form for one number may leave out: "one day"."""


class Words(NamedTuple):
    """What a file says: the forms of each phrase by context and English words, and which form is for a number."""

    forms: Mapping[tuple[str, str], Sequence[str]]
    form_for: Callable[[int], int]


def words_of(path: str, entries: Sequence[Entry]) -> Words:
    """Check the phrases of a file; raises CatalogueError for what cannot be used, by its line."""
    count, form_for = _plural(path, header(entries))
    for entry in entries:
        _check(path, entry, count)
    return Words({entry[:2]: entry.forms for entry in entries if entry.one and entry.forms}, form_for)


class Catalogue(NullTranslations):
    """The words of one file; what they lack is asked of the next."""

    def __init__(self, words: Words, following: NullTranslations) -> None:
        """Put words before `following`."""
        super().__init__()
        self._words = words
        self._following = following

    def gettext(self, message: str) -> str:
        """Give words without a context."""
        found = self._words.forms.get(("", message))
        return found[0] if found else self._following.gettext(message)

    def pgettext(self, context: str, message: str) -> str:
        """Give words of a context."""
        found = self._words.forms.get((context, message))
        return found[0] if found else self._following.pgettext(context, message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """Give words in the form for a number."""
        found = self._words.forms.get(("", msgid1))
        if not found:
            return self._following.ngettext(msgid1, msgid2, n)
        # Tried up to here; beyond, the last three digits decide in all languages but for whole millions.
        return found[self._words.form_for(n if n < _TRIED else n % 1000 + 1000)]


def _plural(path: str, fields: dict[str, str]) -> tuple[int, Callable[[int], int]]:
    """Read how many forms there are, and which one is for a number."""
    found = _PLURAL.fullmatch(fields.get("plural-forms") or _TWO)
    try:
        if found:
            count, form = int(found[1]), c2py(found[2])
            if all(0 <= form(n) < count for n in range(_TRIED)):
                return count, form
    except (ValueError, ArithmeticError):
        pass
    raise CatalogueError(f"{path}: Plural-Forms of the header cannot be used", f"write it as in: {_TWO}")


def _check(path: str, entry: Entry, count: int) -> None:
    """Refuse words that lack a place of the English ones, or have one too many."""
    wanted = count if entry.many else 1
    if entry.forms and len(entry.forms) != wanted:
        raise CatalogueError(
            f"{path} line {entry.line}: {len(entry.forms)} forms, but Plural-Forms says {wanted}",
            f"write msgstr[0] to msgstr[{wanted - 1}]",
        )
    english = places(entry.many or entry.one)
    if english is None or not entry.one:
        return
    for form in entry.forms:
        found = places(form)
        if found is None:
            raise CatalogueError(
                f"{path} line {entry.line}: braces in {quoted(form)} are not places",
                "write {name} for a place",
            )
        wrong = sorted((found ^ english) - ({_COUNT} & english), key=lambda name: (name in english, name))
        if wrong:
            raise CatalogueError(
                f"{path} line {entry.line}: {_fault(wrong[0], english)} {quoted(form)}",
                f"use {either(tuple(f'{{{name}}}' for name in sorted(english)))}"
                if english
                else "use no braces",
            )


def _fault(name: str, english: frozenset[str]) -> str:
    return f"{{{name}}} is missing in" if name in english else f"there is no {{{name}}} for"


def places(words: str) -> frozenset[str] | None:
    """Name the places of words; None where their braces are no plain places, so that nothing is ever put into them.

    >>> sorted(places("{one} of {other}") or ()), places("{one.field}"), places("{")
    (['one', 'other'], None, None)
    """
    try:
        parts = list(Formatter().parse(words))
    except ValueError:
        return None
    named = [(name, spec, conversion) for _, name, spec, conversion in parts if name is not None]
    if any(not name.isidentifier() or spec or conversion for name, spec, conversion in named):
        return None
    return frozenset(name for name, _, _ in named)
