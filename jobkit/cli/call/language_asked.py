"""The language that a paper is written in: the one asked for, else that of its client, of the bench, or English."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from jobkit.book.disk.folder import folder_beneath
from jobkit.book.read.load import OpenBook
from jobkit.book.shelf.errors import AbsentError
from jobkit.book.shelf.opening import Shelf
from jobkit.cli.call.streams import say
from jobkit.jobs.client import Client
from jobkit.named_tuple import NamedTuple
from jobkit.pages.language.catalogues import (
    BUILT_IN,
    Lacking,
    LanguageError,
    is_tag,
    language,
    tag_typed,
    tags_for,
)
from jobkit.pages.language.english import PlainFormats
from jobkit.pages.language.language import ENGLISH, Language

FOLDER = "papers"
_SHOWN = 5


class LanguageAsked(NamedTuple):
    """A language, and what its catalogues turn out to lack while a paper is drawn."""

    language: Language
    lacking: Lacking

    def say_lacking(self) -> None:
        """Say which words of the paper are English because no catalogue has them."""
        phrases = list(self.lacking.phrases)
        if not phrases:
            return
        shown = ", ".join(f'"{one}"' for one in phrases[:_SHOWN])
        more = f" and {len(phrases) - _SHOWN} more" if len(phrases) > _SHOWN else ""
        tag = self.language.tag
        say(
            f'jobkit: {len(phrases)} phrases of this paper are in English, because no catalogue of "{tag}" has them: '
            f"{shown}{more}; write them into {FOLDER}/{tag}.po, where `jobkit phrases --lang {tag}` begins one"
        )


def language_asked(book: OpenBook, root: Path, typed: str | None, client: Client | None) -> LanguageAsked:
    """Make the language to write in; raises LanguageError and CatalogueError."""
    lacking = Lacking()
    usual = (client.language if client else None) or book.bench.settings.papers.language
    tag = tag_typed(typed) if typed else usual
    if tag is None:
        return LanguageAsked(ENGLISH, lacking)
    try:
        made = language(tag, dict(_own(book.shelf, tag)), lacking)
    except LanguageError as unknown:
        if unknown.mend:
            raise
        there = ", ".join(languages_of(root))
        raise LanguageError(
            unknown.message, f"there are {there}; `jobkit phrases --lang {tag}` prints a catalogue to fill in"
        ) from unknown
    if isinstance(made.formats, PlainFormats):
        say(
            f'jobkit: days and amounts are as in the files: what writes them in the language "{tag}" is not installed; '
            "run pip install 'jobkit[languages]'"
        )
    return LanguageAsked(made, lacking)


def _own(shelf: Shelf, tag: str) -> Iterator[tuple[str, bytes]]:
    """Read the catalogues that the book has for a language."""
    for one in tags_for(tag):
        path = f"{FOLDER}/{one}.po"
        with suppress(AbsentError):
            yield path, shelf.read(path)


def languages_of(root: Path) -> tuple[str, ...]:
    """Name the languages that there are: ours, and those that have a catalogue in the folder of the book."""
    names: list[str] = []
    with suppress(OSError), folder_beneath(str(root), FOLDER) as opened:
        names = [name.removesuffix(".po") for name, _ in opened.names() if name.endswith(".po")]
        names = [name for name in names if is_tag(name)]
    return tuple(dict.fromkeys((*BUILT_IN, *sorted(names))))
