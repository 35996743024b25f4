"""The options that many commands share, and what they mean."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from typing import Annotated
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import typer

from jobkit.book.find import find_book
from jobkit.jobs.settings import Settings
from jobkit.units.errors import MisuseError

Books = Annotated[
    list[str] | None,
    typer.Option("--book", metavar="PATH", help="The book; else found by walking up from here."),
]
On = Annotated[
    str | None, typer.Option("--on", metavar="DATE", help="As of the end of that day; else today.")
]
Rev = Annotated[str | None, typer.Option("--rev", metavar="REV", help="Read the book as of a git revision.")]
Output = Annotated[
    str | None, typer.Option("--output", "-o", metavar="FILE", help="Write the answer to a file.")
]
Color = Annotated[
    str, typer.Option("--color", metavar="auto|always|never", help="Whether to colour the answer.")
]
Format = Annotated[
    str, typer.Option("--format", metavar="text|markdown|json", help="The form of the answer.")
]
TableFormat = Annotated[
    str, typer.Option("--format", metavar="text|markdown|json|csv", help="The form of the answer.")
]


def book_folders(ctx: typer.Context, books: list[str] | None) -> tuple[Path, ...]:
    """Find the books named before and after the command; the one around the current folder where none is."""
    named = (*ctx.obj, *(books or ()))
    return tuple(find_book(book) for book in named) or (find_book(Path.cwd()),)


def one_book(ctx: typer.Context, books: list[str] | None) -> Path:
    """Find the one book of a command that takes no more."""
    folders = book_folders(ctx, books)
    if len(folders) > 1:
        raise MisuseError(f"`{ctx.command.name}` reads one book", "name one --book")
    return folders[0]


def day(on: str | None, settings: Settings) -> date:
    """Read `--on`; where it is not given, today in the bench's zone."""
    return now(settings).date() if on is None else read_day(on)


def read_day(text: str) -> date:
    """Read a date of the command line; raises MisuseError."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise MisuseError(f'"{text}" is no date', "write it like 2026-10-19") from None


def now(settings: Settings) -> datetime:
    """Tell the local time of the bench."""
    try:
        zone = ZoneInfo(settings.zone)
    except (ZoneInfoNotFoundError, ValueError):
        raise MisuseError(f'there is no time zone "{settings.zone}"', "correct zone in bench.toml") from None
    return datetime.now(zone).replace(tzinfo=None, microsecond=0)
