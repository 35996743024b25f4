"""What every app of the command line has in common."""

from __future__ import annotations

import typer
from typer.core import TyperGroup


def plain_app(*, cls: type[TyperGroup] = TyperGroup, needs_words: bool = False) -> typer.Typer:
    """Make the app of a command, or of a group of commands where a class is given.

    Help is plain text, a fault is told by `main`, and completion is a command of its own.
    """
    return typer.Typer(
        cls=cls,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        add_completion=False,
        no_args_is_help=needs_words,
    )
