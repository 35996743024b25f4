"""The options of `book-in` that say what came: a row each, with the key of the job file that it fills."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

import click
from typer.core import TyperCommand

KeyPath = tuple[str, ...]
"""The names that lead to a key of a job file, such as ("board", "kind")."""


class OptionRow(NamedTuple):
    """An option and its help; one that may be repeated gives a list."""

    option: str
    help: str
    metavar: str | None = None
    repeat: bool = False


ROWS: Mapping[KeyPath, OptionRow] = {
    ("client",): OptionRow("--client", "Whose board it is, such as c-031."),
    ("title",): OptionRow("--title", "The job in one line."),
    ("intake", "complaint"): OptionRow("--complaint", "What the client says."),
    ("board", "kind"): OptionRow("--kind", "What sort of board it is."),
    ("board", "design"): OptionRow("--design", "The board design.", "D"),
    ("board", "serial"): OptionRow("--serial", "The serial number on the board."),
    ("board", "place"): OptionRow("--place", "Where the board lies."),
    ("board", "kept_back"): OptionRow("--kept-back", "What of it lies elsewhere; repeat.", repeat=True),
    ("intake", "setup"): OptionRow("--setup", "What it ran in."),
    ("intake", "condition"): OptionRow("--condition", "What the eye saw; repeat.", repeat=True),
    ("intake", "came_with"): OptionRow("--came-with", "What else came; repeat.", repeat=True),
    ("intake", "prior_work"): OptionRow("--prior-work", "Worked on before: none, likely or certain."),
    ("intake", "from"): OptionRow("--from", "The country it came from.", "CC"),
    ("intake", "declared"): OptionRow("--declared", "The value on the customs form.", "SUM"),
    ("dates", "received"): OptionRow("--received", "The day it came; else today.", "DAY"),
    ("dates", "promised"): OptionRow("--promised", "The day it was promised for.", "DAY"),
    ("comeback", "of"): OptionRow("--comeback-of", "The earlier job of this board.", "JOB"),
}

_SAID = f"{__name__}.said"


class BookIn(TyperCommand):
    """A command that takes these options before its own; `said` tells what was given."""

    def __init__(self, *words: Any, params: list[click.Parameter], **more: Any) -> None:
        super().__init__(*words, params=[*map(_option, ROWS, ROWS.values()), *params], **more)


def said(ctx: click.Context) -> dict[KeyPath, str | tuple[str, ...] | None]:
    """Tell what each option was given, in the order of the rows: nothing, a text, or texts where it may be repeated."""
    given = ctx.meta[_SAID]
    return {path: given[path] for path in ROWS}


def _option(path: KeyPath, row: OptionRow) -> click.Option:
    def keep(ctx: click.Context, _filled: click.Parameter, value: Any) -> None:
        ctx.meta.setdefault(_SAID, {})[path] = value

    return click.Option(
        [row.option],
        help=row.help,
        metavar=row.metavar,
        multiple=row.repeat,
        # A parameter of the function for each of them would say all of this twice.
        expose_value=False,
        callback=keep,
    )
