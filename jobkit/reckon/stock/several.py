"""The stock and the donors of several books side by side; what is in each keeps the name of its book."""

from __future__ import annotations

from collections.abc import Sequence

from jobkit.reckon.stock.donors import Donor
from jobkit.reckon.stock.on_hand import Stock, summed


def stock_in_books(names: Sequence[str], stocks: Sequence[Stock]) -> Stock:
    """Put the items of several books into one list, `skerrie/fuse-15a`; one book stays as it is."""
    if len(stocks) == 1:
        return stocks[0]
    pairs = list(zip(names, stocks, strict=True))
    return Stock(
        stocks[0].on,
        tuple(
            each._replace(item=each.item._replace(name=f"{name}/{each.item.name}"))
            for name, stock in pairs
            for each in stock.items
        ),
        summed(money for stock in stocks for money in stock.worth),
        tuple((f"{name}/{item}", qty) for name, stock in pairs for item, qty in stock.strangers),
    )


def donors_in_books(names: Sequence[str], kept: Sequence[Sequence[Donor]]) -> tuple[Donor, ...]:
    """Put the donors of several books into one list, with the name of the book before the ids of jobs."""
    if len(kept) == 1:
        return tuple(kept[0])
    return tuple(_in_book(name, donor) for name, donors in zip(names, kept, strict=True) for donor in donors)


def _in_book(name: str, donor: Donor) -> Donor:
    return donor._replace(
        facts=donor.facts._replace(id=f"{name}/{donor.facts.id}"),
        taken=tuple(each._replace(job=f"{name}/{each.job}") for each in donor.taken),
    )
