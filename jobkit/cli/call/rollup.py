"""Books opened for a roll-up: one, or several whose jobs are told apart by the name of the book."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from jobkit.cli.call.books import folders_of
from jobkit.cli.call.cache_switch import cache_for
from jobkit.cli.call.clock import day
from jobkit.cli.call.progress import progress_bar
from jobkit.cli.call.shelves import shelf_of
from jobkit.cli.call.streams import say
from jobkit.named_tuple import NamedTuple

if TYPE_CHECKING:
    import typer

    from jobkit.book.read.load import OpenBook
    from jobkit.jobs.bench import Bench
    from jobkit.jobs.facts import Facts


class RollUp(NamedTuple):
    """The benches of a call, each with the facts of all its jobs and its name ("" for one), and the day asked about."""

    on: date
    benches: tuple[Bench, ...]
    names: tuple[str, ...] = ("",)

    @property
    def title(self) -> str:
        """Name the benches."""
        return " and ".join(dict.fromkeys(bench.settings.name for bench in self.benches))


def roll_up(ctx: typer.Context, books: list[str] | None, rev: str | None, on: str | None) -> RollUp:
    """Open every book that the call names; ids of jobs then begin with the name of their book, where there are several.

    Without --on it is today at the first of them.
    """
    rolled = open_all(ctx, books, rev, on)
    if len(rolled.benches) == 1:
        return rolled
    from jobkit.jobs.several import in_book

    named = zip(rolled.names, rolled.benches, strict=True)
    return rolled._replace(benches=tuple(in_book(name, bench) for name, bench in named))


def open_all(ctx: typer.Context, books: list[str] | None, rev: str | None, on: str | None) -> RollUp:
    """Open every book that the call names, with the ids that their own files have."""
    folders = tuple(dict.fromkeys(folders_of((*ctx.obj, *(books or ())))))
    benches = tuple(_bench(folder, rev) for folder in folders)
    names = tuple(names_of(folders)) if len(folders) > 1 else ("",)
    return RollUp(day(on, benches[0].settings), benches, names)


def open_at(folder: Path, rev: str | None) -> OpenBook:
    """Open a book as it is in its folder, or as of a revision, to ask for the facts of its jobs."""
    shelf = shelf_of(folder, rev=rev)
    # Git has been asked what lies there, and answers while what its answer is not needed for is done.
    from jobkit.book.read.load import open_for_few

    return open_for_few(shelf, cache_for(shelf))._replace(watch=progress_bar)


def names_of(folders: Sequence[Path]) -> list[str]:
    """Name each book after its folder, with as much of the way to it as tells them apart."""
    depth = 1
    while True:
        names = ["/".join(folder.parts[-depth:]) for folder in folders]
        if max(Counter(names).values()) == 1:
            return names
        depth += 1


def facts_told(opened: OpenBook) -> tuple[Facts, ...]:
    """Give the facts of all jobs, and say where an answer from them goes without files that could not be read."""
    from jobkit.book.read.facts import read_facts

    facts, count = read_facts(opened)
    lost = count - len(facts)
    if lost:
        say(f"jobkit: {lost} of {count} job files could not be read; `jobkit lint` names them")
    return facts


def _bench(folder: Path, rev: str | None) -> Bench:
    opened = open_at(folder, rev)
    return opened.bench._replace(facts=facts_told(opened))
