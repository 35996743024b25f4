"""Books opened for a roll-up: one, or several whose jobs are told apart by the name of the book."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import NamedTuple

import typer

from jobkit.book.facts import all_facts
from jobkit.book.load import open_book
from jobkit.cli.options import book_folders, day
from jobkit.cli.shelves import shelf_of
from jobkit.cli.streams import say
from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.reckon.asof import facts_as_of
from jobkit.reckon.several import in_book


class Part(NamedTuple):
    """One book of a roll-up: its name ("" where it is the only one), what its bench knows, and all its jobs."""

    name: str
    bench: Bench
    facts: tuple[Facts, ...]

    def known(self, on: date) -> dict[str, Facts]:
        """Give what was known of its jobs at the end of a day, by id."""
        return {one.id: one for one in facts_as_of(self.facts, on)}


class RollUp(NamedTuple):
    """All books of a call, and the day asked about."""

    on: date
    parts: tuple[Part, ...]

    @property
    def title(self) -> str:
        """Name the benches."""
        return " and ".join(dict.fromkeys(part.bench.settings.name for part in self.parts))

    @property
    def facts(self) -> tuple[Facts, ...]:
        """Give the jobs of all books."""
        return tuple(one for part in self.parts for one in part.facts)


def roll_up(ctx: typer.Context, books: list[str] | None, rev: str | None, on: str | None) -> RollUp:
    """Open every book that the call names; without --on it is today at the first of them."""
    folders = tuple(dict.fromkeys(book_folders(ctx, books)))
    names = names_of(folders) if len(folders) > 1 else [""]
    parts = tuple(_part(folder, name, rev) for folder, name in zip(folders, names, strict=True))
    return RollUp(day(on, parts[0].bench.settings), parts)


def names_of(folders: Sequence[Path]) -> list[str]:
    """Name each book after its folder, with as much of the way to it as tells them apart."""
    depth = 1
    while True:
        names = ["/".join(folder.parts[-depth:]) for folder in folders]
        if max(Counter(names).values()) == 1:
            return names
        depth += 1


def _part(folder: Path, name: str, rev: str | None) -> Part:
    opened = open_book(shelf_of(folder, rev=rev))
    facts = all_facts(opened)
    lost = len(opened.job_paths) - len(facts)
    if lost:
        say(
            f"jobkit: {lost} of {len(opened.job_paths)} job files could not be read; `jobkit lint` names them"
        )
    return Part(name, opened.bench, in_book(name, facts) if name else facts)
