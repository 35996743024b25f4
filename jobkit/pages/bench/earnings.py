"""What the bench earns in an hour, on a page."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal

from jobkit.pages.blocks import Answer, Block, Line, Table, Title
from jobkit.pages.forms.data import Data, money, number
from jobkit.pages.words import hours
from jobkit.reckon.money.earnings import Earned, Earnings

_SUMS = ("billed", "parts", "after parts", "per hour")
_HUNDREDTH = Decimal("0.01")


def earnings_page(bench: str, earnings: Earnings, on: date, since: date | None) -> Answer:
    """Show what was earned, group by group and in all."""
    span = f"from {since} to {on}" if since else f"up to {on}"
    blocks = _blocks(f"{bench}: earnings by {earnings.by}, {span}", earnings)
    for_programs = _table(earnings, "minutes")
    heads = (*for_programs.heads[:-1], "currency")
    return Answer(list(blocks), _data(earnings), for_programs._replace(heads=heads))


def _table(earnings: Earnings, time: str) -> Table:
    """Make the table; bench time is in hours for people, in minutes for programs."""
    heads = (earnings.by, "jobs", time, *_SUMS, "in")
    rows = (*earnings.rows, *earnings.all)
    return Table(heads, [_row(row, _TIMES[time](row.minutes)) for row in rows], right=heads[1:-1])


_TIMES: dict[str, Callable[[Decimal], str]] = {
    "time": lambda minutes: hours(minutes) if minutes else "",
    "minutes": lambda minutes: f"{minutes.normalize():f}",
}


def _row(row: Earned, time: str) -> tuple[str, ...]:
    """Show one row; its currency is given once, at the end, so that five columns of money fit on a screen."""
    sums = (row.billed, row.parts, row.left, row.per_hour)
    return (
        row.group,
        str(row.jobs),
        time,
        *(f"{each.amount:f}" if each else "" for each in sums),
        row.billed.currency,
    )


def _blocks(title: str, earnings: Earnings) -> Iterator[Block]:
    yield Title(title, 1)
    yield _table(earnings, "time") if earnings.rows else Line("No job is finished.")
    yield from map(Line, _notes(earnings))


def _notes(earnings: Earnings) -> Iterator[str]:
    yield (
        "A job counts when it is finished or declined. Billed is without tax and shipping, minus discounts and "
        "credits. Parts are at their cost to the bench. After parts, divided by the bench time of the jobs, gives "
        "the earnings per hour."
    )
    if earnings.by == "work":
        yield (
            "The money of a job is divided over its kinds of work by the minute. This shows where the hours go, "
            "not which work pays. The shares are rounded, so their sum can differ by a cent."
        )
    if earnings.unpriced:
        yield f"No cost is entered for {', '.join(earnings.unpriced)}."
    for job, why in earnings.left_out:
        yield f"{job} is not included: {why}."


def _data(earnings: Earnings) -> Data:
    return {
        "by": earnings.by,
        "rows": [_row_data(row) for row in earnings.rows],
        "all": [_row_data(row) for row in earnings.all],
        "left_out": [{"job": job, "why": why} for job, why in earnings.left_out],
    }


def _row_data(row: Earned) -> Data:
    return {
        "group": row.group,
        "jobs": row.jobs,
        "hours": number((row.minutes / 60).quantize(_HUNDREDTH)),
        "billed": money(row.billed),
        "parts": money(row.parts),
        "left": money(row.left),
        "per_hour": money(row.per_hour),
        "currency": row.billed.currency,
    }
