"""What falls due: each thing left undone, on the day on which you have to see to it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from decimal import Decimal

from jobkit.jobs.asof import known_on
from jobkit.jobs.bench import Bench
from jobkit.jobs.duration import Duration, DurationError, add, subtract
from jobkit.jobs.facts import Facts, WaitRow
from jobkit.jobs.stock import Item, Lot
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.heat.floor_life import FLOOR_LIFE_HOURS, counted_from, floor_life
from jobkit.reckon.money.debts import debt, give_back
from jobkit.reckon.progress.status import status
from jobkit.reckon.stock.on_hand import since_counted, stock
from jobkit.reckon.warranty.cover import (
    CONTINUES,
    OUTLASTS,
    RESTARTS,
    RESTARTS_LATER,
    Cover,
    cover,
    may_be_covered,
)

WHAT = ("arrival", "warranty", "quote", "part", "payment", "collection", "promise", "meter", "dry")
"""All there is to be reminded of."""

GIVE_BACK = "to give back"
"""How a payment is due where the bench owes the client."""

_CARRIED_ON = (CONTINUES, RESTARTS, RESTARTS_LATER, OUTLASTS)


class Due(NamedTuple):
    """One thing that falls due on a day.

    `since` is the day from which it is counted, `how` the word that tells cases of one kind apart, `about` what it is
    about: a sum, an item, a meter, what is awaited. `remind` are days before it on which to be reminded too.
    """

    on: date
    what: str
    job: str
    since: date
    how: str = ""
    about: str = ""
    title: str = ""
    remind: tuple[date, ...] = ()


def due(bench: Bench, on: date, within: Duration) -> tuple[Due, ...]:
    """List what is overdue at the end of `on`, or falls due within so long, soonest first.

    A warranty is listed from the first of its reminders on, even where its last day is later. Within no time at all,
    that is on the day alone, only what falls due or has a reminder on that day is listed.
    """
    last = _later(on, within) or date.max
    known = known_on(bench.facts, on)
    items = (*_undone(bench, known, on), *_to_give_back(bench, known))
    if last == on:
        near = [item for item in items if on in {item.on, *item.remind}]
    else:
        near = [item for item in items if item.on <= last or (item.remind and min(item.remind) <= on)]
    return _in_order(near)


def falling_due(bench: Bench, on: date, until: date) -> tuple[Due, ...]:
    """List what falls due after the end of `on` and by the end of `until`, soonest first.

    What is to be given back is not among that: it was due on the day of the last payment or credit note.
    """
    known = known_on(bench.facts, on)
    return _in_order(item for item in _undone(bench, known, on) if on < item.on <= until)


def _in_order(items: Iterable[Due]) -> tuple[Due, ...]:
    return tuple(sorted(items, key=lambda item: (item.on, WHAT.index(item.what), item.job, item.about)))


def _undone(bench: Bench, known: Mapping[str, Facts], on: date) -> Iterator[Due]:
    yield from _of_jobs(bench, known, on)
    yield from _of_meters(bench, on)
    yield from _of_stock(bench, known, on)


def _to_give_back(bench: Bench, known: Mapping[str, Facts]) -> Iterator[Due]:
    for one in known.values():
        back = give_back(one, bench)
        if back:
            yield Due(back.since, "payment", one.id, back.since, GIVE_BACK, str(back.amount), one.title)


def _of_jobs(bench: Bench, known: Mapping[str, Facts], on: date) -> Iterator[Due]:
    covers: dict[str, Cover] = {}
    habits = bench.settings.warranty
    for one in known.values():
        yield from _unfinished_business(one, bench)
        begun = one.finished or one.sent or one.collected or one.comeback_of
        if begun and may_be_covered(one, known, habits, on):
            covers[one.id] = cover(one.id, known, habits, on)
    # A comeback that carries a warranty on stands for the whole chain, so that its end is told once.
    carried = {known[job].comeback_of for job, found in covers.items() if found.link in _CARRIED_ON}
    for job, found in covers.items():
        if found.covered and job not in carried:
            yield from _warranty(known[job], found)


def _unfinished_business(one: Facts, bench: Bench) -> Iterator[Due]:
    patience = bench.settings.patience
    steps = [*_payment(one, bench)]
    # A board that is home again may still be unpaid, but nothing else of it can be left undone.
    if status(one).word != "done":
        steps += (
            *_arrival(one, patience.arrival),
            *_quote(one, patience.quote),
            *(_wait(one, wait, patience.parts, patience.quote) for wait in _open_waits(one)),
            *_collection(one, patience.collection),
            *_promise(one),
        )
    yield from (step for step in steps if step)


def _arrival(one: Facts, days: int) -> Iterator[Due | None]:
    if one.is_on_its_way:
        held_up = next((wait.what for wait in one.waits if _is_shipping(wait) and not wait.until), "")
        yield _counted(one, "arrival", one.announced, days, "", held_up)


def _open_waits(one: Facts) -> Iterator[WaitRow]:
    """Go through what a job waits for; that a board is on its way here is told as its arrival."""
    return (wait for wait in one.waits if not wait.until and not (one.is_on_its_way and _is_shipping(wait)))


def _is_shipping(wait: WaitRow) -> bool:
    return wait.reason == "shipping"


def _quote(one: Facts, days: int) -> Iterator[Due | None]:
    answered = one.is_agreed or one.declined or one.started or one.finished or one.sent
    asked = any(wait.reason == "client" and not wait.until for wait in one.waits)
    if one.quoted and not answered and not asked:
        yield _counted(one, "quote", one.quoted, days, "quoted", one.price_quoted)


def _wait(one: Facts, wait: WaitRow, parts: int, client: int) -> Due | None:
    if wait.reason == "client":
        return _counted(one, "quote", wait.since, client, "asked", wait.what or one.price_quoted)
    return _counted(one, "part", wait.since, parts, wait.reason, wait.what)


def _payment(one: Facts, bench: Bench) -> Iterator[Due | None]:
    owed = debt(one, bench)
    if owed:
        how = "sent" if owed.how == "collected" else owed.how
        yield Due(owed.due, "payment", one.id, owed.since, how, str(owed.owed), one.title)


def _collection(one: Facts, days: int) -> Iterator[Due | None]:
    if not one.sent and not one.is_given_up:
        if one.finished:
            yield _counted(one, "collection", one.finished, days, "finished", "")
        elif one.declined:
            yield _counted(one, "collection", one.declined, days, "declined", "")


def _promise(one: Facts) -> Iterator[Due | None]:
    if one.promised and not (one.finished or one.declined or one.sent):
        on, since = date.fromisoformat(one.promised), date.fromisoformat(one.received or one.promised)
        yield Due(on, "promise", one.id, since, str(status(one)), "", one.title)


def _counted(one: Facts, what: str, since: str, days: int, how: str, about: str) -> Due | None:
    """Make an item that falls due so many days after `since`; None where the day is not known."""
    begin = date.fromisoformat(since) if since else None
    on = _later(begin, Duration(days=days)) if begin else None
    return Due(on, what, one.id, begin, how, about, one.title) if begin and on else None


def _warranty(one: Facts, found: Cover) -> Iterator[Due]:
    if found.first_day and found.last_day:
        earlier = (_earlier(found.last_day, each) for each in found.terms.remind)
        yield Due(
            found.last_day,
            "warranty",
            one.id,
            found.first_day,
            "covered",
            found.scope,
            one.title,
            tuple(sorted(day for day in earlier if day and day >= found.first_day)),
        )


def _of_meters(bench: Bench, on: date) -> Iterator[Due]:
    for meter in bench.meters.values():
        until = meter.calibrated_until
        if until and meter.calibrated and meter.every and meter.calibrated <= on:
            yield Due(until, "meter", "", meter.calibrated, meter.every.words(), meter.name)


def _of_stock(bench: Bench, known: Mapping[str, Facts], on: date) -> Iterator[Due]:
    """Go through what lies open: lots for themselves where an item has any; of what is used up nothing is left."""
    opened = {
        name: item
        for name, item in bench.stock.items()
        if item.opened or any(lot.opened for lot in item.lots)
    }
    lately = since_counted(known.values(), opened.values())
    for each in stock(lately, bench._replace(stock=opened), on).items:
        item = each.item
        bags: list[tuple[str, Item | Lot, Decimal | None]] = [
            (f"{item.name}, lot {one.lot.name}", one.lot, one.on_hand) for one in each.lots
        ]
        for about, bag, left in bags or [(item.name, item, each.on_hand)]:
            day = counted_from(bag.opened, bag.baked, on)
            if day and day <= on and (left is None or left > 0):
                yield from _dry(item, about, day, bag.opened)


def _dry(item: Item, about: str, since: date, opened: date | None) -> Iterator[Due]:
    life = floor_life(item.moisture) if item.moisture else None
    ends = _later(since, life) if life else None
    if ends and item.moisture:
        baked = "" if since == opened else f", baked {since}"
        how = f"level {item.moisture}, {FLOOR_LIFE_HOURS[item.moisture]} h{baked}"
        yield Due(ends, "dry", "", opened or since, how, about, item.what or "")


def _later(day: date, duration: Duration) -> date | None:
    try:
        return add(day, duration)
    except DurationError:
        return None


def _earlier(day: date, duration: Duration) -> date | None:
    try:
        return subtract(day, duration)
    except DurationError:
        return None
