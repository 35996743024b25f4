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

    Nothing of private/ is in them. A page is written only where it differs; those no longer made are removed.
    """
    from jobkit.book.write.site_folder import SiteFolder
    from jobkit.cli.bench.site_pages import pages_of, public_pages_of, public_site_of, site_of
    from jobkit.cli.call.progress import progress_bar
    from jobkit.cli.call.rollup import facts_told, open_at
    from jobkit.cli.call.target_folder import target_folder

    root = one_book(ctx, book)
    target = SiteFolder(target_folder(folder, (root,)), "public" if public else "private")
    opened = open_at(root, None)
    facts, today = facts_told(opened), day(on, opened.bench.settings)
    if public:
        planned = public_site_of(opened, facts, today)
        places, pages = planned.pages, public_pages_of(planned)
    else:
        whole = site_of(opened, facts, today)
        places, pages = whole.pages, pages_of(whole)
    target.begin(places)
    with progress_bar("writing pages", len(places)) as progress:
        for done, (place, page) in enumerate(pages, 1):
            target.put(place, page)
            if progress:
                progress(done)
    written, same = target.written, target.same
    removed = target.end(places)
    gone = f", {removed} removed" if removed else ""
    answer(f"{in_one_line(folder)}: {written} pages written, {same} unchanged{gone}\n")
