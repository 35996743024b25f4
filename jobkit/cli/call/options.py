"""The options that many commands share, and what they mean."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import click
import typer

from jobkit.cli.call.books import folders_of, only_folder
from jobkit.cli.call.clock import day, now, read_day

__all__ = (
    "AsIs",
    "At",
    "Books",
    "By",
    "Color",
    "Format",
    "JobArgument",
    "JobOption",
    "Lang",
    "On",
    "Output",
    "Rev",
    "TableFormat",
    "book_folders",
    "day",
    "now",
    "one_book",
    "read_day",
)

Books = Annotated[
    list[str] | None,
    typer.Option("--book", metavar="PATH", help="Book folder (default: nearest parent with bench.toml)."),
]
On = Annotated[
    str | None,
    typer.Option("--on", metavar="DATE", help="As of the end of this day, or yesterday (default: today)."),
]
Rev = Annotated[str | None, typer.Option("--rev", metavar="REV", help="Read the book as of a git revision.")]
Lang = Annotated[
    str | None,
    typer.Option("--lang", metavar="TAG", help="The language, such as de (default: that of the client)."),
]
Output = Annotated[
    str | None, typer.Option("--output", "-o", metavar="FILE", help="Write the answer to a file.")
]
Color = Annotated[
    str, typer.Option("--color", metavar="auto|always|never", help="Whether to colour the answer.")
]
Format = Annotated[
    str, typer.Option("--format", metavar="text|markdown|html|json", help="The form of the answer.")
]
TableFormat = Annotated[
    str, typer.Option("--format", metavar="text|markdown|html|json|csv", help="The form of the answer.")
]

JobArgument = Annotated[
    str | None,
    typer.Argument(metavar="[JOB]", help="Job id or its last digits (default: the selected job)."),
]
JobOption = Annotated[
    str | None, typer.Option("--job", metavar="JOB", help="Job to use instead of the selected one.")
]
By = Annotated[str | None, typer.Option("--by", metavar="WHO", help="Who did the work; remembered.")]
At = Annotated[
    str | None,
    typer.Option("--at", metavar="TIME", help="Time, such as 10:05 (default: now)."),
]
AsIs = Annotated[bool, typer.Option("--as-is", help="Accept names that are not defined in the book.")]


def book_folders(ctx: click.Context, books: list[str] | None) -> tuple[Path, ...]:
    """Find the books named before and after the command; the one around the current folder where none is."""
    return folders_of((*ctx.obj, *(books or ())))


def one_book(ctx: click.Context, books: list[str] | None) -> Path:
    """Find the one book of a command that takes no more."""
    return only_folder((*ctx.obj, *(books or ())), ctx.command.name or "")
