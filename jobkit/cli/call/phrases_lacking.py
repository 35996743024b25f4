"""What the catalogues of a language lack: phrases of our papers, and what the bench says on its papers itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress

from jobkit.book.shelf.errors import AbsentError
from jobkit.book.shelf.opening import Shelf
from jobkit.cli.call.language_asked import FOLDER
from jobkit.jobs.settings import Settings
from jobkit.pages.language.catalogues import built_in, tags_for
from jobkit.pages.language.po_file import Entry, read_po
from jobkit.pages.language.po_text import empty_entries, our_phrases, po_header


def phrases_lacking(shelf: Shelf, settings: Settings, tag: str) -> tuple[str, int]:
    """Write what is not yet in the catalogue of the book, and count what is there without words.

    A book without the catalogue gets its header too. Raises CatalogueError for one that cannot be read, LanguageError
    for what is not the tag of a language.
    """
    own = _own(shelf, f"{FOLDER}/{tag}.po")
    ours = [entry for one in tags_for(tag) for entry in built_in(one) if entry.forms]
    there = {(entry.context, entry.one) for entry in (*own, *ours)}
    typed = [Entry("", words, "", (), 0) for words in dict.fromkeys(_typed(settings))]
    parts = [*([] if own else [po_header(tag)]), *empty_entries(our_phrases(), there)]
    mine = list(empty_entries(typed, there | {(entry.context, entry.one) for entry in our_phrases()}))
    if mine:
        parts += ["# From bench.toml.\n", *mine]
    return "\n".join(parts), sum(1 for entry in own if entry.one and not entry.forms)


def _own(shelf: Shelf, path: str) -> Sequence[Entry]:
    with suppress(AbsentError):
        return read_po(path, shelf.read(path))
    return ()


def _typed(settings: Settings) -> Iterator[str]:
    """Yield what the bench says on its papers in words of its own."""
    yield from settings.papers.intake
    yield from settings.papers.quote
    for tax in settings.tax:
        yield from filter(None, (tax.name, tax.note))
    for habit in settings.warranty:
        yield from habit.void_if
    for proof in settings.proof.values():
        yield from (*proof.runs, *proof.last)
