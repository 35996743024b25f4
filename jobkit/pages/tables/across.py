"""Tables that no single job file holds: warranties with their chains, and parts on hand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.pages.tables.columns import Column, amount_of, iso, plain
from jobkit.reckon.stock.on_hand import LotOnHand, OnHand
from jobkit.reckon.stock.on_hand import stock as stock_of
from jobkit.reckon.warranty.cover import NEEDED, Cover, cover

WARRANTIES = (
    Column("job", "always text", "The id of the job.", lambda found: found.job),
    Column("first_day", "day", "The first day that is covered.", lambda found: iso(found.first_day)),
    Column("last_day", "day", "The last day that is covered.", lambda found: iso(found.last_day)),
    Column("void", "text", "Why it is void; null where it is not.", lambda found: found.void or None),
    Column("void_on", "day", "The day on which that was found.", lambda found: iso(found.void_on)),
    Column("counted_from", "text", "Which day it is counted from.", lambda found: found.counted_from or None),
    Column("counted_in", "text", "The job whose day that is.", lambda found: found.source or found.job),
    Column(
        "own_terms", "always flag", "Whether the job has terms of its own.", lambda found: found.own_terms
    ),
    Column("scope", "text", "What is covered; null for the whole repair.", lambda found: found.scope or None),
    Column(
        "chain",
        "texts",
        "The jobs of this board, from the first to this one.",
        lambda found: list(found.chain),
    ),
    Column(
        "carried_on",
        "text",
        "How a comeback carries the earlier warranty on.",
        lambda found: found.link or None,
    ),
)
"""The columns of a warranty. Whether it covers a day follows from its days, so that no row changes as time passes."""

_ITEM = "The name of the item in stock.toml."
STOCK = (
    Column("item", "always text", _ITEM, lambda each: each.item.name),
    Column("what", "text", "What it is.", lambda each: each.item.what),
    Column("counted", "number", "How many were counted.", lambda each: plain(each.item.counted)),
    Column("counted_on", "day", "The day of the count.", lambda each: iso(each.item.counted_on)),
    Column("received", "always number", "How many came since.", lambda each: plain(each.received)),
    Column("used", "always number", "How many were used since.", lambda each: plain(each.used)),
    Column(
        "on_hand",
        "number",
        "How many there are; null where none were counted.",
        lambda each: plain(each.on_hand),
    ),
    Column("reorder_at", "number", "The level at which to order.", lambda each: plain(each.item.reorder_at)),
    Column("reorder_to", "number", "The level to order up to.", lambda each: plain(each.item.reorder_to)),
    Column("short", "always flag", "Whether the reorder level is reached.", lambda each: each.short),
    *amount_of("cost", "What one costs on the day.", lambda each: each.cost),
    Column("moisture", "text", "The moisture level (J-STD-020).", lambda each: each.item.moisture),
    Column("place", "text", "Where it is kept.", lambda each: each.item.place),
)
"""The columns of an item of the stock."""

LOTS = (
    Column("item", "always text", _ITEM, lambda pair: pair[0].item.name),
    Column("lot", "always text", "The name of the lot.", lambda pair: pair[1].lot.name),
    Column("counted", "number", "How many were counted.", lambda pair: plain(pair[1].lot.counted)),
    Column("received", "always number", "How many came since.", lambda pair: plain(pair[1].received)),
    Column("used", "always number", "How many were used since.", lambda pair: plain(pair[1].used)),
    Column("on_hand", "number", "How many there are.", lambda pair: plain(pair[1].on_hand)),
    Column(
        "opened",
        "day",
        "The day the bag was opened; null while it is sealed.",
        lambda pair: iso(pair[1].lot.opened),
    ),
    Column("baked", "day", "The day of its last bake.", lambda pair: iso(pair[1].lot.baked)),
    *amount_of("cost", "What one cost.", lambda pair: pair[1].lot.cost),
)
"""The columns of a lot: of an item, and one of its lots."""


def warranties(known: Mapping[str, Facts], bench: Bench, on: date) -> Iterator[tuple[str, Cover]]:
    """Yield each warranty that was given, with the file of its job.

    One whose chain cannot be read is left out: lint says why.
    """
    for job, facts in known.items():
        found = cover(job, known, bench.settings.warranty, on)
        chain = [known[name] for name in found.chain if name in known]
        if found.first_day and not any(NEEDED & set(each.unreadable) for each in chain):
            yield facts.path, found


def on_hand(known: Mapping[str, Facts], bench: Bench, on: date) -> tuple[OnHand, ...]:
    """Return the items of the stock as of a day."""
    return stock_of(known.values(), bench, on).items


def lots(items: tuple[OnHand, ...]) -> Iterator[tuple[OnHand, LotOnHand]]:
    """Yield each lot beside its item."""
    return ((each, lot) for each in items for lot in each.lots)
