"""Boards kept for parts, on a page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jobkit.jobs.cautions import DRY, LITHIUM
from jobkit.pages.bench.stock_data import stock_data
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Table, Title
from jobkit.pages.cautions import caution_sentence
from jobkit.pages.words import listed
from jobkit.reckon.stock.donors import Donor, Taken
from jobkit.reckon.stock.on_hand import Stock

_CAUTION = (
    "These parts are not tested. Treat a package from a donor as wet until it is baked. "
    + caution_sentence((DRY, LITHIUM))
)


def donors_page(bench: str, stock: Stock, donors: Sequence[Donor]) -> Answer:
    """Show the boards kept for parts: the parts removed from each and those that should still be on it."""
    blocks = [Title(f"{bench}: donors, {stock.on}", 1), *(block for one in donors for block in _donor(one))]
    blocks.append(Line(_CAUTION if donors else "No board is kept for parts."))
    return Answer(blocks, stock_data(stock, stock.items, donors), _taken_table(donors))


def _donor(donor: Donor) -> Iterator[Block]:
    facts = donor.facts
    yield Title(listed(facts.id, facts.design or facts.kind, facts.place))
    yield Pairs(
        [
            ("fault", listed(donor.faulty, facts.cause_fault)),
            ("still on it", ", ".join(donor.still_on) or "none of the packages in the board file"),
        ]
    )
    if donor.taken:
        yield Table(("removed", "part", "what", "used for"), [_taken_row(each) for each in donor.taken])
    else:
        yield Line("No parts removed.")


def _taken_row(taken: Taken) -> tuple[str, ...]:
    went = f"{taken.job} as {taken.onto}" if taken.onto and taken.onto != taken.part else taken.job
    return taken.day, taken.part, taken.item, went


def _taken_table(donors: Sequence[Donor]) -> Table:
    heads = ("donor", "taken", "part", "item", "job", "fitted as")
    rows = [
        (donor.facts.id, each.day, each.part, each.item, each.job, each.onto)
        for donor in donors
        for each in donor.taken
    ]
    return Table(heads, rows)
