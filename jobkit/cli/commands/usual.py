"""`jobkit usual`: what good boards of a design read, learned from finished jobs."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, On, Output, Rev, TableFormat, day, one_book
from jobkit.jobs.naming import spelled
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.book.write.propose import Put
    from jobkit.jobs.bench import Bench
    from jobkit.jobs.manner import Manner
    from jobkit.pages.bench.usual_data import Proposals
    from jobkit.reckon.readings.usual import DesignUsual

app = plain_app()

_BECAME = {
    "new": "a new limit",
    "renewed": "renewed",
    "same": "unchanged",
    "beside": "a remark; the limit by hand stays",
}


@app.command()
def usual(
    ctx: typer.Context,
    design: Annotated[
        str, typer.Argument(metavar="DESIGN", help="The design, or the beginning of its name.")
    ],
    point: Annotated[
        str | None, typer.Option("--point", metavar="P", help="This point alone, with each reading.")
    ] = None,
    drop_outliers: Annotated[
        bool,
        typer.Option("--drop-outliers", help="Leave out readings beyond a robust z of 3.5, and name them."),
    ] = False,
    write: Annotated[
        bool, typer.Option("--write", help="Propose limits into the board file, with n and date as a remark.")
    ] = False,
    on: On = None,
    rev: Rev = None,
    form: TableFormat = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """Show what good boards of a design read, point by point, from the last proof readings of finished jobs."""
    from jobkit.cli.call.design_asked import design_asked
    from jobkit.cli.call.rollup import facts_told, open_at
    from jobkit.cli.call.show_page import show_page
    from jobkit.jobs.asof import facts_as_of
    from jobkit.pages.bench.usual import usual_page
    from jobkit.pages.bench.usual_data import UsualView
    from jobkit.reckon.load_run.usual_under_load import usual_under_load
    from jobkit.reckon.readings.usual import usual_of

    if write and rev:
        raise MisuseError(
            "--write changes the working tree, and --rev reads a revision", "leave one of them out"
        )
    root = one_book(ctx, book)
    opened = open_at(root, rev)
    as_of = day(on, opened.bench.settings)
    facts = facts_as_of(facts_told(opened), as_of)
    name = design_asked(opened.bench, facts, design)
    learned = usual_of(name, facts, opened.bench, drop_outliers=drop_outliers)
    if point:
        learned = _at(learned, point)
    written = _propose(root, opened.bench, learned, as_of) if write else None
    loads = () if point else usual_under_load(name, facts, opened.bench, watch=opened.watch)
    show_page(usual_page(UsualView(learned, as_of, bool(point), written, loads)), form, output, color)


def _at(learned: DesignUsual, point: str) -> DesignUsual:
    meant = spelled(point, {row.manner.point for row in learned.rows})
    rows = tuple(row for row in learned.rows if row.manner.point == meant)
    if not rows:
        points = dict.fromkeys(row.manner.point for row in learned.rows)
        raise MisuseError(
            f"{learned.design} has no point {point} with a reading or a limit",
            f"name one of {', '.join(points)}" if points else "there are none yet",
        )
    return learned._replace(rows=rows)


def _propose(root: Path, bench: Bench, learned: DesignUsual, on: date) -> Proposals:
    from jobkit.book.write.propose import Learned, propose
    from jobkit.cli.bench.noting import pen_for
    from jobkit.pages.bench.usual_data import Proposals
    from jobkit.reckon.readings import proposals

    known = bench.designs.get(learned.design)
    if known is None:
        raise MisuseError(f"{learned.design} has no board file", f"write boards/{learned.design}.toml first")
    made = [proposals.propose(row) for row in learned.rows]
    wanted = [
        Learned(one.usual.manner, one.limit, one.n, len(one.usual.outliers)) for one in made if one.limit
    ]
    done: list[Put] = []

    def edit(text: str) -> str:
        proposed = propose(text, wanted, on)
        done[:] = proposed.put
        return proposed.text

    if wanted:
        pen_for(root, f"limits of {learned.design}", bench.settings).update(known.path, [edit])
    rows: list[tuple[Manner, str, str]] = [
        (put.learned.manner, put.learned.limit, _BECAME.get(put.how) or f"left out: {put.why}")
        for put in done
    ]
    rows += ((one.usual.manner, "", f"none: {one.why_not}") for one in made if one.why_not and one.n)
    return Proposals(known.path, rows)
