"""Catalogues: which there are, and how a language is made of them.

A catalogue is a .po file of gettext. Ours are beside this module, those of a bench in the folder papers/ of its book.
"""

from __future__ import annotations

import pkgutil
import re
from collections.abc import Mapping, Sequence
from gettext import NullTranslations

from jobkit.pages.language.catalogue import Catalogue, Words, words_of
from jobkit.pages.language.english import EnglishFormats, PlainFormats
from jobkit.pages.language.language import ENGLISH, Formats, Language
from jobkit.pages.language.po_file import Entry, read_po
from jobkit.units.errors import MisuseError
from jobkit.units.slip import quoted

BUILT_IN = ("en", "de")
"""The languages that need no catalogue of the bench."""

_TAG = re.compile(r"[a-z]{2,3}(-[A-Z][a-z]{3})?(-[A-Z]{2})?")


class LanguageError(MisuseError):
    """A language that papers cannot be written in."""


class Lacking(NullTranslations):
    """Answers where no catalogue does: with the English words, which it notes."""

    def __init__(self) -> None:
        """Begin with nothing lacking."""
        super().__init__()
        self.phrases: dict[str, None] = {}

    def gettext(self, message: str) -> str:
        """Note words."""
        self.phrases[message] = None
        return message

    def pgettext(self, context: str, message: str) -> str:
        """Note words of a context."""
        del context
        return self.gettext(message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """Note words that have a form for one."""
        self.phrases[msgid1] = None
        return msgid1 if n == 1 else msgid2


def tag_typed(typed: str) -> str:
    """Bring a tag into its usual spelling.

    >>> tag_typed("DE-at"), tag_typed("sr-latn")
    ('de-AT', 'sr-Latn')
    """
    first, *others = typed.replace("_", "-").split("-")
    return "-".join((first.lower(), *(one.title() if len(one) == 4 else one.upper() for one in others)))


def is_tag(text: str) -> bool:
    """Tell whether a text is spelled as the tag of a language."""
    return bool(_TAG.fullmatch(text))


def tags_for(tag: str) -> tuple[str, ...]:
    """Name the catalogues for a tag, the nearest first; raises LanguageError for what is not a tag.

    >>> tags_for("de-AT")
    ('de-AT', 'de')
    """
    if not is_tag(tag):
        raise LanguageError(
            f"{quoted(tag)} is not the tag of a language", 'write it as BCP 47 does, such as "de" or "de-AT"'
        )
    return tuple(dict.fromkeys((tag, tag.partition("-")[0])))


def language(tag: str, own: Mapping[str, bytes], lacking: Lacking) -> Language:
    """Make a language of the book's own catalogues, by their paths, and ours; what they lack goes into `lacking`.

    Raises LanguageError for a language without a catalogue, CatalogueError for a file that cannot be used.
    """
    tags = tags_for(tag)
    if tag == "en" and not own:
        return ENGLISH
    if not own and not set(tags) & set(BUILT_IN):
        raise LanguageError(f'there is no catalogue for the language "{tag}"')
    words = [words_of(path, read_po(path, content)) for path, content in own.items()]
    words += [words_of(f"{one}.po", built_in(one)) for one in tags]
    last = NullTranslations() if tags[-1] == "en" else lacking
    return Language(tag, _chain(words, last), _chain(words, NullTranslations()), formats_for(tag))


def formats_for(tag: str) -> Formats:
    """Return how a language writes figures and days; days by ISO 8601 where the locale data are not installed."""
    try:
        from jobkit.pages.language.locale_formats import LocaleFormats  # noqa: PLC0415 - loads an extra
    except ImportError:
        return EnglishFormats() if tag.partition("-")[0] == "en" else PlainFormats()
    return LocaleFormats(tag)


def built_in(tag: str) -> tuple[Entry, ...]:
    """Read our own catalogue of a language; nothing where we have none, and for English."""
    if tag not in BUILT_IN or tag == "en":
        return ()
    content = pkgutil.get_data(__package__, f"{tag}.po")
    assert content is not None
    return read_po(f"{tag}.po", content)


def _chain(words: Sequence[Words], last: NullTranslations) -> NullTranslations:
    """Ask one catalogue after the other, then `last`."""
    for one in reversed(words):
        last = Catalogue(one, last)
    return last
