"""`jobkit verdict`: hold one value to a limit."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.options import Color, Format, Output
from jobkit.cli.show_page import show_page
from jobkit.pages.verdict import verdict_page
from jobkit.units.kinds import KINDS
from jobkit.units.quantity import Quantity, QuantityError, parse_quantity
from jobkit.units.verdict import judge
from jobkit.units.want import Want, parse_want

app = typer.Typer(rich_markup_mode=None)


@app.command()
def verdict(
    value: Annotated[str, typer.Argument(help='The value, such as "23.4 Ω".')],
    want: Annotated[str, typer.Argument(help='The limit, such as "10 .. 30 Ω".')],
    kind: Annotated[str | None, typer.Option("--kind", metavar="KIND", help="The kind of reading.")] = None,
    form: Format = "text",
    output: Output = None,
    color: Color = "auto",
) -> int:
    """Hold one value to a limit: in, out, or near. Exit status 1 for anything but in."""
    reading, limit = _both(value, want, kind)
    answer = judge(reading, limit)
    show_page(verdict_page(reading, limit, answer), form, output, color)
    return int(answer.word != "in")


def _both(value: str, want: str, kind: str | None) -> tuple[Quantity, Want]:
    """Read value and limit; a component code in one of them takes its unit from the other."""
    try:
        reading = parse_quantity(value, kind)
    except QuantityError:
        limit = parse_want(want, kind)
        return parse_quantity(value, kind or _kind_of(limit.unit)), limit
    return reading, parse_want(want, kind or _kind_of(reading.unit))


def _kind_of(unit: str) -> str | None:
    return next((kind.name for kind in KINDS.values() if kind.unit == unit), None)
