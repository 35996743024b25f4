"""`jobkit site`: the book as pages for a browser."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, On, day, one_book
from jobkit.cli.call.streams import answer
from jobkit.units.errors import in_one_line

app = plain_app()


@app.command()
def site(
    ctx: typer.Context,
    folder: Annotated[str, typer.Argument(metavar="DIR", help="Folder for the pages; created if missing.")],
    public: Annotated[
        bool,
        typer.Option(
            "--public",
            help="Only finished jobs marked `public = true`, without client, serial number, price and days.",
        ),
    ] = False,
    on: On = None,
    book: Books = None,
) -> None:
    """Write the book as pages for a browser: jobs, designs, weeks, what is due, stock, meters, and a search.

    Nothing of private/ is in them. Only pages whose sources changed are made; those of jobs that are gone are removed.
    """
    from jobkit.book.write.site_folder import SiteFolder
    from jobkit.cli.bench.public_site import write_public_site
    from jobkit.cli.bench.site_plan import site_of
    from jobkit.cli.bench.site_writing import write_site
    from jobkit.cli.call.progress import progress_bar
    from jobkit.cli.call.rollup import facts_told, open_at
    from jobkit.cli.call.target_folder import target_folder

    root = one_book(ctx, book)
    target = SiteFolder(target_folder(folder, (root,)), "public" if public else "private")
    opened = open_at(root, None)
    facts, today = facts_told(opened), day(on, opened.bench.settings)
    with progress_bar("writing pages", len(facts)) as progress:
        if public:
            told = write_public_site(opened, facts, today, target, progress)
        else:
            told = write_site(site_of(opened, facts, today), target, progress)
    gone = f", {told.removed} removed" if told.removed else ""
    answer(f"{in_one_line(folder)}: {told.written} pages written, {told.same} unchanged{gone}\n")
