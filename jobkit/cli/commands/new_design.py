"""`jobkit new-design`: the first board file of a design."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, one_book
from jobkit.units.errors import MisuseError

app = plain_app()


@app.command()
def new_design(
    ctx: typer.Context,
    name: Annotated[str, typer.Argument(metavar="NAME", help="Name of the design, such as tarnhow-t7-16.")],
    kind: Annotated[str | None, typer.Option("--kind", help="Kind of board.")] = None,
    processor: Annotated[
        str | None, typer.Option("--processor", metavar="PART", help="The processor, such as U10.")
    ] = None,
    memory: Annotated[
        str | None,
        typer.Option(
            "--memory",
            metavar="N|L,T,R,B",
            help="Memory packages: how many, or how many on the left, top, right and bottom of the processor.",
        ),
    ] = None,
    first: Annotated[
        str | None, typer.Option("--first", metavar="PART", help="The first memory package (default: U1).")
    ] = None,
    channels: Annotated[int, typer.Option("--channels", help="Channels of each memory package: 1 or 2.")] = 2,
    book: Books = None,
) -> None:
    """Write a first board file of a design: rails, points, memory packages round the processor, checks, causes.

    At a terminal it asks for what is not given. Places, voltages and limits are left for you to fill in.
    """
    from jobkit.book.read.load import open_book
    from jobkit.cli.bench.designing import DesignTold, design_name, make_design
    from jobkit.cli.bench.writing import check_bench, tell
    from jobkit.cli.call.shelves import shelf_of
    from jobkit.cli.call.streams import say

    if channels not in {1, 2}:
        raise MisuseError(f"--channels cannot be {channels}", "a memory package has 1 or 2")
    root = one_book(ctx, book)
    opened = open_book(shelf_of(root))
    check_bench(opened)
    design = design_name(name)
    tell(make_design(root, opened.bench, design, DesignTold(kind, processor, memory, first, channels)))
    say(f"next: fill in places and voltages; `jobkit show --design {design}` shows the board")
