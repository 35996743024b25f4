"""The options of `book-in` that say what came: a row each, with the key of the job file that it fills."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import click
from typer.core import TyperCommand

from jobkit.named_tuple import NamedTuple

KeyPath = tuple[str, ...]
"""The names that lead to a key of a job file, such as ("board", "kind")."""


class OptionRow(NamedTuple):
    """An option and its help; one that may be repeated gives a list."""

    option: str
    help: str
    metavar: str | None = None
    repeat: bool = False


ROWS: Mapping[KeyPath, OptionRow] = {
    ("client",): OptionRow("--client", "Client reference, such as c-031."),
    ("title",): OptionRow("--title", "The job in one line."),
    ("intake", "complaint"): OptionRow("--complaint", "The complaint in the client's words."),
    ("board", "kind"): OptionRow("--kind", "Kind of board."),
    ("board", "design"): OptionRow("--design", "Board design.", "D"),
    ("board", "serial"): OptionRow("--serial", "The serial number on the board."),
    ("board", "place"): OptionRow("--place", "Location of the board."),
    ("board", "kept_back"): OptionRow(
        "--kept-back", "Part of the board that is stored separately; may be repeated.", repeat=True
    ),
    ("intake", "setup"): OptionRow("--setup", "The computer it ran in."),
    ("intake", "condition"): OptionRow("--condition", "Visible damage; may be repeated.", repeat=True),
    ("intake", "came_with"): OptionRow(
        "--came-with", "What else was in the parcel; may be repeated.", repeat=True
    ),
    ("intake", "prior_work"): OptionRow("--prior-work", "Earlier repair attempt: none, likely or certain."),
    ("intake", "from"): OptionRow("--from", "Country it came from (ISO 3166-1 code).", "CC"),
    ("intake", "declared"): OptionRow("--declared", "Value on the customs form.", "SUM"),
    ("dates", "announced"): OptionRow(
        "--announced", "Day it was announced, if it is still on its way.", "DAY"
    ),
    ("dates", "received"): OptionRow("--received", "Day of receipt (default: today).", "DAY"),
    ("dates", "promised"): OptionRow("--promised", "Promised day.", "DAY"),
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
