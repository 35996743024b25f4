"""Read settings that change from a day on: one entry in the short form, or a list of entries with their first days."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from jobkit.book.read.values import Values
from jobkit.book.schema.trouble import Trouble
from jobkit.jobs.finding import Place
from jobkit.jobs.in_force import AmountSince
from jobkit.jobs.money import Money, parse_money, parse_unit_price


def entries(top: Values, key: str) -> Iterator[Values]:
    """Go through the entries of a history in order; one whose first day is out of order is noted and left out."""
    value = top.get(key)
    if isinstance(value, list):
        yield from _in_order(list(top.tables(key)))
    elif value:
        yield top.table(key)


def amounts(value: Any, place: Place, troubles: list[Trouble]) -> tuple[AmountSince, ...]:
    """Read the history of an amount of money: one amount, or entries with `since` and `amount`, in one currency."""
    return _amounts(value, place, troubles, parse_money)


def unit_prices(value: Any, place: Place, troubles: list[Trouble]) -> tuple[AmountSince, ...]:
    """Read the history of what one piece costs, which may be less than the smallest coin."""
    return _amounts(value, place, troubles, parse_unit_price)


def _amounts(
    value: Any, place: Place, troubles: list[Trouble], parse: Callable[[str], Money]
) -> tuple[AmountSince, ...]:
    if not isinstance(value, list):
        alone = Values({str(place[-1]): value}, place[:-1], troubles).parsed(str(place[-1]), parse)
        return (AmountSince("", alone),) if alone else ()
    rows = [Values(row, (*place, number), troubles) for number, row in enumerate(value)]
    return tuple(_in_one_currency(_in_order(rows), parse))


def _in_order(rows: list[Values]) -> Iterator[Values]:
    last: str | None = None
    for row in rows:
        since = row.text("since") or ""
        fault = _fault(since, last)
        if fault and row.row:
            row.troubles.append(Trouble((*row.place, "since"), *fault))
        elif not fault:
            last = since
            yield row


def _fault(since: str, last: str | None) -> tuple[str, str] | None:
    """Say what is wrong with the first day of an entry that follows one of the day `last`; None for the first."""
    if last is None:
        return None
    if not since:
        return "an entry after the first has no since", "add the first day on which it is in force"
    if since == last:
        return f"two entries begin on {since}", "keep one of the two, or correct since"
    if since < last:
        return (
            f"the entry of {since} is after the one of {last}",
            "put the entries in the order of their days",
        )
    return None


def _in_one_currency(rows: Iterator[Values], parse: Callable[[str], Money]) -> Iterator[AmountSince]:
    currency = ""
    for row in rows:
        amount = row.parsed("amount", parse)
        if amount and currency and amount.currency != currency:
            message = f"the currency changes from {currency} to {amount.currency}"
            mend = f"write every amount of a history in {currency}"
            row.troubles.append(Trouble((*row.place, "amount"), message, mend))
        elif amount:
            currency = amount.currency
            yield AmountSince(row.text("since") or "", amount)
