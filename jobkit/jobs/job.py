"""One board's stay on the bench."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal

from jobkit.jobs.duration import Duration
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
    Photo,
    Reading,
    Refund,
    Seen,
    Trial,
    Used,
    Wait,
    Waive,
    Work,
)
from jobkit.jobs.finding import Place
from jobkit.jobs.memoise import memoise_last
from jobkit.jobs.money import Money
from jobkit.named_tuple import NamedTuple

OUTCOMES = ("repaired", "no-fault-found", "beyond-repair", "declined")


class Board(NamedTuple):
    """The board itself and where it is."""

    kind: str | None = None
    design: str | None = None
    serial: str | None = None
    place: str | None = None
    kept_back: tuple[str, ...] = ()
    known_good: bool = False


PART_NAME = re.compile(r"\b[A-Z]{1,4}[0-9]{1,5}[A-Z]?\b")
"""What the name of a part on a board looks like: letters, then a number."""


class Intake(NamedTuple):
    """What came, in which state, and what the client says."""

    complaint: str | None = None
    setup: str | None = None
    condition: tuple[str, ...] = ()
    prior_work: str | None = None
    country: str | None = None
    declared: Money | None = None
    came_with: tuple[str, ...] = ()
    photos: tuple[Photo, ...] = ()

    @property
    def missing(self) -> frozenset[str]:
        """The parts that were not on the board when it came: those that a line of `condition` calls missing.

        >>> Intake(condition=("C44 missing", "scorch mark beside Q214")).missing
        frozenset({'C44'})
        """
        lines = (line for line in self.condition if "missing" in line.casefold())
        return frozenset(part for line in lines for part in PART_NAME.findall(line))


class Dates(NamedTuple):
    """The days on which the job moved on; all local days of the bench."""

    announced: date | None = None
    received: date | None = None
    promised: date | None = None
    quoted: date | None = None
    agreed: date | None = None
    declined: date | None = None
    started: date | None = None
    finished: date | None = None
    paid: date | None = None
    sent: date | None = None
    collected: date | None = None


class Price(NamedTuple):
    """What was quoted, agreed, charged and paid; `tax` is the rate of the job in percent, None for the bench's."""

    quoted: Money | None = None
    ceiling: Money | None = None
    proposal: str | None = None
    if_not_repaired: Money | None = None
    charged: Money | None = None
    shipping: Money | None = None
    agreements: tuple[Agreement, ...] = ()
    tax: Decimal | None = None
    tax_note: str | None = None
    lines: tuple[BillLine, ...] = ()
    payments: tuple[Payment, ...] = ()
    credits: tuple[Credit, ...] = ()
    discounts: tuple[Discount, ...] = ()
    refunds: tuple[Refund, ...] = ()


class Invoice(NamedTuple):
    """The invoice of a job, once it is issued."""

    number: str | None = None
    on: date | None = None


class Warranty(NamedTuple):
    """What is promised: how long, counted from which day, on what; None falls back to the bench's habit."""

    duration: Duration | None = None
    counted_from: str | None = None
    scope: str | None = None
    void: str | None = None
    void_on: date | None = None


class Comeback(NamedTuple):
    """The earlier job of a board that was on the bench before."""

    of: str | None = None
    found: str | None = None


class Firmware(NamedTuple):
    """The firmware as it came, the saved copy, and what was left on the board."""

    came: str | None = None
    saved: str | None = None
    left: str | None = None


class Cause(NamedTuple):
    """What it was, once known."""

    part: str | None = None
    fault: str | None = None
    name: str | None = None


class Parcel(NamedTuple):
    """How it travelled."""

    came_in: str | None = None
    went_out: str | None = None
    insured: Money | None = None


class Fate(NamedTuple):
    """What became of a board that was not simply returned."""

    what: str | None = None
    owner_agreed: bool = False


class Job(NamedTuple):
    """One job file, read as far as it can be read.

    `path` is relative to the book. `broken` holds the places whose value could not be read: rules about missing
    things stay silent there.
    """

    path: str
    id: str
    format: int | None = None
    client: str | None = None
    title: str | None = None
    outcome: str | None = None
    public: bool = False
    board: Board = Board()
    intake: Intake = Intake()
    dates: Dates = Dates()
    waits: tuple[Wait, ...] = ()
    readings: tuple[Reading, ...] = ()
    injections: tuple[Inject, ...] = ()
    seen: tuple[Seen, ...] = ()
    pads: tuple[Pad, ...] = ()
    work: tuple[Work, ...] = ()
    used: tuple[Used, ...] = ()
    trials: tuple[Trial, ...] = ()
    firmware: Firmware | None = None
    cause: Cause | None = None
    price: Price | None = None
    invoice: Invoice | None = None
    warranty: Warranty = Warranty()
    comeback: Comeback | None = None
    parcel: Parcel | None = None
    fate: Fate | None = None
    notes: tuple[Note, ...] = ()
    messages: tuple[Message, ...] = ()
    waivers: tuple[Waive, ...] = ()
    amended: tuple[Amended, ...] = ()
    broken: frozenset[Place] = frozenset()

    def is_broken(self, *start: str | int) -> bool:
        """Tell whether anything at or below the place `start`, or above it, could not be read."""
        if not self.broken:
            return False
        above = (start[:length] for length in range(len(start)))
        return start in _beginnings(self.broken) or not self.broken.isdisjoint(above)


@memoise_last
def _beginnings(places: frozenset[Place]) -> frozenset[Place]:
    """List every place above one of these, and themselves."""
    return frozenset(place[:length] for place in places for length in range(len(place) + 1))
