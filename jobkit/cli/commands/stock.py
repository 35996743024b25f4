"""`jobkit stock`: parts on hand, what to order, donors; `jobkit stock count` and `jobkit stock receive`."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, On, Output, Rev, day, now, one_book
from jobkit.cli.call.streams import answer as tell
from jobkit.units.errors import MisuseError

app = plain_app()


@app.callback(invoke_without_command=True)
def stock(
    ctx: typer.Context,
    reorder: Annotated[bool, typer.Option("--reorder", help="Only the items to reorder.")] = False,
    donors: Annotated[bool, typer.Option("--donors", help="The boards kept for parts instead.")] = False,
    on: On = None,
    rev: Rev = None,
    form: Annotated[
        str, typer.Option("--format", metavar="text|markdown|html|json|csv", help="The form of the answer.")
    ] = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> None:
    """List parts on hand: what you counted minus what jobs used on later days.

    `jobkit stock count ITEM N` records a count, `jobkit stock receive ITEM N` a delivery.
    """
    from jobkit.cli.call.rollup import open_all
    from jobkit.cli.call.show_page import show_page
    from jobkit.jobs.asof import facts_as_of
    from jobkit.pages.bench.donors import donors_page
    from jobkit.pages.bench.reorder import reorder_page
    from jobkit.pages.bench.stock import stock_page
    from jobkit.reckon.stock.donors import donors as donors_of
    from jobkit.reckon.stock.on_hand import stock as stock_of
    from jobkit.reckon.stock.several import donors_in_books, stock_in_books

    if ctx.invoked_subcommand:
        ctx.obj = (*ctx.obj, *(book or ()))
        return
    if reorder and donors:
        raise MisuseError("--reorder and --donors are two lists", "use one of them")
    rolled = open_all(ctx, book, rev, on)
    known = [facts_as_of(bench.facts, rolled.on) for bench in rolled.benches]
    books = list(zip(known, rolled.benches, strict=True))
    shelf = stock_in_books(rolled.names, [stock_of(facts, bench, rolled.on) for facts, bench in books])
    kept = donors_in_books(rolled.names, [donors_of(facts, bench.designs) for facts, bench in books])
    page = donors_page if donors else reorder_page if reorder else stock_page
    show_page(page(rolled.title, shelf, kept), form, output, color)


@app.command()
def count(
    ctx: typer.Context,
    item: Annotated[str, typer.Argument(metavar="ITEM", help="Its name in stock.toml.")],
    counts: Annotated[
        list[str], typer.Argument(metavar="N|LOT=N...", help="How many; or how many of each lot.")
    ],
    on: Annotated[
        str | None, typer.Option("--on", metavar="DATE", help="Day of the count (default: today).")
    ] = None,
    book: Books = None,
) -> None:
    """Record how many of an item there are.

    Parts used on the day of the count are included, so count when the day's work is done.
    """
    from jobkit.book.read.load import open_book
    from jobkit.book.write.count import with_count
    from jobkit.cli.bench.noting import pen_for
    from jobkit.cli.bench.receiving import item_named
    from jobkit.cli.bench.writing import check_bench
    from jobkit.cli.call.rollup import facts_told
    from jobkit.cli.call.shelves import shelf_of
    from jobkit.jobs.asof import facts_as_of
    from jobkit.pages.bench.stock import count_words
    from jobkit.reckon.stock.count import count_typed
    from jobkit.reckon.stock.on_hand import stock as reckon_stock

    root = one_book(ctx, book)
    opened = open_book(shelf_of(root))
    check_bench(opened)
    bench = opened.bench
    counted_on = day(on, bench.settings)
    known = facts_as_of(facts_told(opened), counted_on)
    there = item_named(reckon_stock(known, bench, counted_on).items, item)
    count = count_typed(there, counts, counted_on, now(bench.settings).date())
    pen = pen_for(root, f"count of {count.item}", bench.settings)
    pen.update("stock.toml", [lambda text: with_count(text, count)])
    tell(f"{count_words(there, count)}\n")


@app.command()
def receive(
    ctx: typer.Context,
    item: Annotated[str, typer.Argument(metavar="ITEM", help="Its name in stock.toml.")],
    number: Annotated[str, typer.Argument(metavar="N", help="How many came.")],
    cost: Annotated[
        str | None, typer.Option("--cost", metavar="MONEY", help="What one piece cost, from now on.")
    ] = None,
    lot: Annotated[
        str | None, typer.Option("--lot", metavar="LOT", help="Its lot; a new one is added.")
    ] = None,
    note: Annotated[
        str | None, typer.Option("--note", metavar="TEXT", help="Such as the delivery note.")
    ] = None,
    on: Annotated[
        str | None, typer.Option("--on", metavar="DATE", help="Day of the delivery (default: today).")
    ] = None,
    book: Books = None,
) -> None:
    """Add goods received to what is on hand, without a count.

    What came on the day of a count is in the count.
    """
    from jobkit.cli.bench.receiving import receive_goods
    from jobkit.reckon.stock.receive import Typed

    tell(f"{receive_goods(one_book(ctx, book), item, Typed(number, cost, lot, note), on)}\n")
