"""What falls due, soonest first, each with its reason and the next step in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date

from jobkit.jobs.duration import Duration
from jobkit.pages.blocks import Answer, Block, Line, Table, Title
from jobkit.pages.forms.data import Data
from jobkit.pages.words import counted
from jobkit.reckon.progress.due import GIVE_BACK, Due


def due_page(bench: str, items: Sequence[Due], on: date, within: Duration) -> Answer:
    """List what falls due."""
    table = Table(
        ("on", "days", "what", "about", "why", "next step"),
        [_row(item, on) for item in items],
        right=("days",),
        below=("why",),
    )
    data = {"items": [_data(item, on) for item in items]}
    # "on" is a word of query languages, and no name for a column.
    return Answer(_blocks(bench, table, on, within), data, table._replace(heads=("day", *table.heads[1:])))


def _blocks(bench: str, table: Table, on: date, within: Duration) -> list[Block]:
    is_that_day = within == Duration()
    span = f"on {on}" if is_that_day else f"by {on}, and in the {within.words()} after"
    heading = Title(f"{bench}: what falls due {span}", 1)
    if not table.rows:
        return [heading, Line("Nothing is due.")]
    late = sum(row[1].startswith("-") for row in table.rows)
    return [heading, table, Line(f"{counted(len(table.rows), 'item')}, {late} of them overdue.")]


def _row(item: Due, on: date) -> tuple[str, ...]:
    return (
        str(item.on),
        str((item.on - on).days),
        item.what,
        item.job or item.about,
        why(item),
        next_step(item),
    )


def why(item: Due) -> str:
    """Say why something falls due.

    >>> why(Due(date(2026, 11, 9), "payment", "K26-0043", date(2026, 10, 26), "sent", "155.00 EUR"))
    'sent 2026-10-26, 155.00 EUR unpaid'
    """
    return _words(item)[0](item)


def next_step(item: Due) -> str:
    """Say what to do about it."""
    return _words(item)[1]


def _warranty(item: Due) -> str:
    what = f" for {item.about}" if item.about else ""
    return f"last day of cover{what}, since {item.since}"


def _on_its_way(item: Due) -> str:
    return f"announced {item.since}, not here yet" + (f": {item.about}" if item.about else "")


def _awaited(item: Due) -> str:
    return f"waiting for {item.how} since {item.since}" + (f": {item.about}" if item.about else "")


def _quoted(item: Due) -> str:
    return f"quoted {item.about or 'a price'} on {item.since}, no answer"


def _asked(item: Due) -> str:
    return f"waiting for the client's answer since {item.since}" + (f": {item.about}" if item.about else "")


def _dry(item: Due) -> str:
    return f"bag open since {item.since} ({item.how})"


_Words = tuple[Callable[[Due], str], str]
_WORDS: Mapping[tuple[str, str], _Words] = {
    ("arrival", ""): (_on_its_way, "ask the client or the carrier where it is"),
    ("warranty", ""): (_warranty, "ask the client how the board runs, if you like"),
    ("quote", "quoted"): (_quoted, "ask the client"),
    ("quote", "asked"): (_asked, "ask the client again"),
    ("part", ""): (_awaited, "ask the supplier"),
    ("part", "shipping"): (_awaited, "ask the carrier"),
    ("payment", "sent"): (lambda item: f"sent {item.since}, {item.about} unpaid", "remind the client to pay"),
    ("payment", "finished"): (
        lambda item: f"finished {item.since}, {item.about} unpaid",
        "remind the client to pay",
    ),
    ("payment", "declined"): (
        lambda item: f"declined {item.since}, {item.about} unpaid",
        "remind the client to pay",
    ),
    ("payment", GIVE_BACK): (
        lambda item: f"{item.about} paid above the bill, since {item.since}",
        "pay it back, and record it with `jobkit jot refund`",
    ),
    ("collection", "finished"): (
        lambda item: f"finished {item.since}, not collected",
        "ask the client to collect it, or send it",
    ),
    ("collection", "declined"): (lambda item: f"declined {item.since}, not collected", "send it back"),
    ("promise", ""): (
        lambda item: f"promised for {item.on}, now {item.how}",
        "finish it, or agree a new day",
    ),
    ("meter", ""): (
        lambda item: f"calibrated {item.since}, valid for {item.how}",
        "have it calibrated",
    ),
    ("dry", ""): (_dry, "use the part, or bake it before use"),
}


def _words(item: Due) -> _Words:
    return _WORDS.get((item.what, item.how)) or _WORDS[item.what, ""]


def _data(item: Due, on: date) -> Data:
    return {
        "on": str(item.on),
        "days": (item.on - on).days,
        "what": item.what,
        "job": item.job or None,
        "about": item.about or None,
        "title": item.title or None,
        "why": why(item),
        "next": next_step(item),
        "since": str(item.since),
        "remind": [str(day) for day in item.remind],
    }
