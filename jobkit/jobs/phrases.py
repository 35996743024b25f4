"""The entries of a job in the words of the bench: "V12 0.4 Ω out, arrival"."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from typing import Any

from jobkit.jobs.entries import (
    Agreement,
    Amended,
    BillLine,
    Credit,
    Discount,
    Inject,
    Message,
    Note,
    Pad,
    Payment,
    Reading,
    Refund,
    Seen,
    Trial,
    Used,
    Wait,
    Waive,
    Work,
)
from jobkit.named_tuple import NamedTuple
from jobkit.units.kinds import kinds_of
from jobkit.units.limit import Limit
from jobkit.units.quantity import Quantity


class Phrase(NamedTuple):
    """What an entry says: its gist, what a short telling adds, and all the rest of it."""

    gist: str
    rest: tuple[str, ...] = ()
    more: tuple[str, ...] = ()

    def __str__(self) -> str:
        """Tell it in short."""
        return ", ".join(filter(None, (self.gist, *self.rest)))

    def parts(self) -> tuple[str, ...]:
        """Give all that it says, so that two of them can be compared."""
        return tuple(filter(None, (self.gist, *self.rest, *self.more)))


Judge = Callable[[Reading], str]
"""Tells the verdict on a reading: in, out or near; "" where there is none."""


def said(value: Any) -> str:
    """Write a value of a record as people say it; "" for none.

    >>> said(Decimal("75")), said(("U5", "U6")), said(datetime(2026, 10, 22, 10, 5)), said(False)
    ('75', 'U5, U6', '2026-10-22 10:05', '')
    """
    if value is None or value is False:
        return ""
    if isinstance(value, (Quantity, Limit)):
        return value.text
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, datetime):
        return f"{value:%Y-%m-%d %H:%M:%S}".removesuffix(":00")
    if isinstance(value, tuple) and not hasattr(value, "_fields"):
        return ", ".join(
            " ".join(filter(None, map(said, one))) if type(one) is tuple else said(one) for one in value
        )
    return "yes" if value is True else str(value)


def reading(one: Reading, judge: Judge) -> Phrase:
    """Tell a reading with its verdict; the kind is said where the unit does not tell it."""
    kind = "" if _usual_kind(one) else one.kind
    gist = _joined(one.point, one.to and f"to {one.to}", kind, said(one.value), judge(one))
    rest = (
        said(one.stage),
        said(one.state),
        f"red on {one.red_on}" if one.red_on else "",
        f"without {said(one.removed)}" if one.removed else "",
        "" if one.settled else "not settled",
        said(one.note),
    )
    told = "kind point to value stage state red_on removed settled note"
    return Phrase(gist, rest, more_of(one, told))


def _usual_kind(one: Reading) -> bool:
    """Tell whether a reading is of the kind that comes to mind first at its unit."""
    return one.value is not None and not one.value.open and kinds_of(one.value.unit)[:1] == (one.kind,)


def inject(one: Inject, _judge: Judge) -> Phrase:
    """Tell an injection of current."""
    gist = f"injected {_and(said(one.volts), said(one.amps))} into {one.rail or 'a rail'}"
    rest = (
        f"{said(one.minutes)} min" if one.minutes else "",
        f"hottest {one.hottest}" if one.hottest else "",
        said(one.note),
    )
    return Phrase(gist, rest, more_of(one, "volts amps rail minutes hottest note"))


def seen(one: Seen, _judge: Judge) -> Phrase:
    """Tell what a check showed."""
    failed = f"failed {said(one.failed)}" if one.failed else ""
    passed = f"passed {said(one.passed)}" if one.passed else ""
    words = "; ".join(filter(None, (failed, passed, one.what)))
    return Phrase(
        ": ".join(filter(None, (one.check, words))) or "seen", (), more_of(one, "check failed passed what")
    )


def pad(one: Pad, _judge: Judge) -> Phrase:
    """Tell a damaged pad."""
    side = f"on the {one.side}" if one.side else ""
    gist = _joined("pad", one.part, one.ball and f"ball {one.ball}", side, one.damage)
    rest = (
        f"carries {one.carries}" if one.carries else "",
        _repaired(one.repaired),
        f"reads {said(one.reads)}" if one.reads else "",
        said(one.note),
    )
    return Phrase(gist, rest, more_of(one, "part ball side damage carries repaired reads note"))


def _repaired(how: str | None) -> str:
    return "" if not how else "left open" if how == "left-open" else f"repaired with {how}"


def work(one: Work, _judge: Judge) -> Phrase:
    """Tell a piece of work."""
    rest = (
        said(one.what),
        said(one.came),
        said(one.alloy),
        f"removed with {one.removal_alloy}" if one.removal_alloy else "",
        f"{said(one.hours)} h" if one.hours is not None else "",
        f"at {said(one.oven)}" if one.oven else "",
        f"{said(one.minutes)} min" if one.minutes is not None else "",
    )
    told = "did part what came alloy removal_alloy hours oven minutes"
    return Phrase(_joined(one.did, one.part) or "work", rest, more_of(one, told))


_SOURCES = {"bought": "bought", "client": "from the client"}


def used(one: Used, _judge: Judge) -> Phrase:
    """Tell a part used."""
    gist = _joined(
        f"used {said(one.qty)} × {one.item or 'a part'}",
        one.source and _SOURCES.get(one.source, f"from {one.source}"),
        one.part and f"for {one.part}",
    )
    return Phrase(gist, (said(one.cost), said(one.note)), more_of(one, "qty item source part cost note"))


def trial(one: Trial, _judge: Judge) -> Phrase:
    """Tell a trial and how it went."""
    minutes = f"{said(one.minutes)} min" if one.minutes is not None else ""
    gist = _joined(one.run or "trial", one.result)
    times = f"{said(one.repeats)} times" if one.repeats != 1 else ""
    return Phrase(gist, (minutes, times, said(one.note)), more_of(one, "run result minutes repeats note"))


def wait(one: Wait, _judge: Judge) -> Phrase:
    """Tell a wait."""
    gist = _joined(
        "waiting for",
        one.reason,
        f"since {one.since}" if one.since else "",
        f"until {one.until}" if one.until else "",
    )
    return Phrase(gist, (said(one.what),), more_of(one, "reason since until what"))


def waive(one: Waive, _judge: Judge) -> Phrase:
    """Tell a finding accepted."""
    gist = _joined("accepted", one.rule, one.about and f"about {one.about}")
    return Phrase(gist, (said(one.why),), more_of(one, "rule about why"))


def note(one: Note, _judge: Judge) -> Phrase:
    """Tell a note."""
    return Phrase(f"note: {one.text or ''}", (), more_of(one, "text"))


def message(one: Message, _judge: Judge) -> Phrase:
    """Tell what was exchanged with the client or others."""
    return Phrase(f"{message_head(one)}: {one.text or ''}", (), more_of(one, "other text sender"))


def message_head(one: Message) -> str:
    """Say with whom a message was exchanged, and who wrote it where that is said."""
    way = {"us": "to", "them": "from"}.get(one.sender or "", "with")
    return f"message {way} {one.other}" if one.other else "message"


def amended(one: Amended, _judge: Judge) -> Phrase:
    """Tell that a change to a job already sent is owned up to."""
    return Phrase(": ".join(filter(None, ("amended", one.why))), (), more_of(one, "why"))


def agreement(one: Agreement, _judge: Judge) -> Phrase:
    """Tell a price agreed."""
    return Phrase(
        _joined("agreed", said(one.on), said(one.amount)), (said(one.note),), more_of(one, "on amount note")
    )


def bill_line(one: BillLine, _judge: Judge) -> Phrase:
    """Tell a line of the bill in the bench's own words."""
    each = f"{said(one.each)} each" if one.each else ""
    return Phrase(
        f"bill {said(one.quantity)} × {one.what or 'a thing'}", (each,), more_of(one, "quantity what each")
    )


def payment(one: Payment, _judge: Judge) -> Phrase:
    """Tell a payment that came in."""
    return Phrase(
        _joined("payment", said(one.on), said(one.amount)), (said(one.note),), more_of(one, "on amount note")
    )


def credit(one: Credit, _judge: Judge) -> Phrase:
    """Tell a credit."""
    return Phrase(
        _joined("credit", said(one.on), said(one.amount)), (said(one.why),), more_of(one, "on amount why")
    )


def discount(one: Discount, _judge: Judge) -> Phrase:
    """Tell a discount."""
    return Phrase(_joined("discount", said(one.amount)), (said(one.why),), more_of(one, "amount why"))


def refund(one: Refund, _judge: Judge) -> Phrase:
    """Tell money paid back to the client."""
    return Phrase(
        _joined("refund", said(one.on), said(one.amount)), (said(one.note),), more_of(one, "on amount note")
    )


def stamp(entry: Any) -> tuple[str, ...]:
    """Tell when an entry was made, and by whom."""
    at, by = getattr(entry, "at", None), getattr(entry, "by", None)
    return (f"at {said(at)}" if at else "", f"by {by}" if by else "")


def more_of(entry: Any, told: str) -> tuple[str, ...]:
    """Tell every field of an entry that `told` does not name, so that no change of one goes unsaid."""
    others = [name for name in entry._fields if name not in {"path", "at", "by", *told.split()}]
    return tuple(
        f"{name.replace('_', ' ')} {said(value)}" for name in others if said(value := getattr(entry, name))
    )


def _joined(*words: str | None) -> str:
    return " ".join(word for word in words if word)


def _and(*words: str) -> str:
    return " and ".join(word for word in words if word) or "current"
