"""The small row of a job that roll-ups run on.

Facts hold only text, numbers and tuples of them, so that they can be stored as they are and thousands of them compared
without being decoded: days are ISO 8601 text (which sorts by time; "" is not a day), money and quantities are text as
the job file has it. A list of records is a tuple, or is read back to one when it is first read.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from jobkit.named_tuple import NamedTuple

Day = str

GIVEN_UP = ("kept-for-parts", "recycled")
"""What becomes of a board that does not go back to its owner."""


class WaitRow(NamedTuple):
    """A wait: why, from when to when ("" = still), for what."""

    reason: str
    since: Day
    until: Day
    what: str


class WorkRow(NamedTuple):
    """A piece of work: on which day, how many minutes, what, on which part, and how a fitted part came.

    Where the job says so: at what time of the day, with which solder, and which thermocouple log it has. `row` is its
    place among the pieces of work of the job file, from 0.
    """

    day: Day
    minutes: float
    did: str
    part: str
    came: str = ""
    time: str = ""
    alloy: str = ""
    heat: str = ""
    row: int = -1

    @property
    def at(self) -> datetime | None:
        """When it began; None where the job does not say."""
        return datetime.fromisoformat(f"{self.day}T{self.time}") if self.time else None


class UsedRow(NamedTuple):
    """A part used: on which day, which stock item, how many, from where, for which place on the board, at what cost.

    Where the job says so: at what price to the client and which tax in percent, out of which lot, from which place of
    the donor.
    """

    day: Day
    item: str
    qty: str
    source: str
    part: str
    cost: str
    price: str = ""
    tax: str = ""
    lot: str = ""
    donor_part: str = ""

    @property
    def from_stock(self) -> bool:
        """Tell whether it came out of stock, which it did unless the job says otherwise."""
        return self.source in {"", "stock"}

    @property
    def from_donor(self) -> bool:
        """Tell whether it came off another board; `source` is then the id of its job."""
        return self.source not in {"", "stock", "bought", "client"}

    @property
    def off(self) -> str:
        """Name its place on the donor: that on the board unless the job says otherwise, "" where it says none."""
        return self.donor_part or self.part


class Charge(NamedTuple):
    """A line of the bill in the bench's own words: what, how many, the price of one, its tax in percent."""

    what: str
    quantity: str
    each: str
    tax: str


class Paid(NamedTuple):
    """A payment, or a refund: on which day, how much, what for."""

    day: Day
    amount: str
    note: str


class Credited(NamedTuple):
    """A credit: on which day, how much, what for, its tax in percent, the number of its credit note if it has one."""

    day: Day
    amount: str
    why: str
    tax: str
    number: str = ""


class Discounted(NamedTuple):
    """A discount: how much, what for, its tax in percent."""

    amount: str
    why: str
    tax: str


class TrialRow(NamedTuple):
    """A trial: on which day, which run, with which result, for how long; its log, and the temperature of the room."""

    day: Day
    run: str
    result: str
    minutes: float
    log: str = ""
    ambient: str = ""


class ProofRow(NamedTuple):
    """The last proof reading of one point and manner; `limit` is the job's own limit ("" = the board file's).

    `range` and `four_wire` tell with `meter` how the value was taken, `settled` whether it was steady; `row` is the
    place of the reading among those of the job file, from 0.
    """

    day: Day
    point: str
    kind: str
    to: str
    red_on: str
    state: str
    removed: tuple[str, ...]
    value: str
    limit: str
    meter: str
    range: str
    four_wire: bool
    settled: bool
    row: int


class Facts(NamedTuple):
    """What roll-ups need of a job. A missing text is ""."""

    id: str
    path: str
    title: str
    client: str
    kind: str
    design: str
    serial: str
    known_good: bool
    outcome: str
    announced: Day
    received: Day
    promised: Day
    quoted: Day
    agreed: Day
    declined: Day
    started: Day
    finished: Day
    paid: Day
    sent: Day
    collected: Day
    comeback_of: str
    comeback_found: str
    cause_part: str
    cause_fault: str
    fate: str
    price_quoted: str
    price_ceiling: str
    price_if_not: str
    price_charged: str
    price_agreed: tuple[tuple[Day, str], ...]
    warranty_duration: str
    warranty_from: str
    warranty_scope: str
    warranty_void: str
    warranty_void_on: Day
    waits: Sequence[WaitRow]
    work: Sequence[WorkRow]
    used: Sequence[UsedRow]
    trials: Sequence[TrialRow]
    proof: Sequence[ProofRow]
    last_day: Day
    """The latest day named anywhere in the job; nothing has to be hidden when asked as of a later one."""
    last_done: Day = ""
    """The latest day on which something is said to have happened: every day named but the promised one."""
    attachments: tuple[str, ...] = ()
    """The files that the job names, relative to its own folder."""
    waives: tuple[tuple[str, str], ...] = ()
    """Rule and subject ("" = any) of each finding waived, in the order of the file; "" for both without a reason."""
    place: str = ""
    price_shipping: str = ""
    price_tax: str = ""
    price_tax_note: str = ""
    price_lines: Sequence[Charge] = ()
    payments: Sequence[Paid] = ()
    credits: Sequence[Credited] = ()
    discounts: Sequence[Discounted] = ()
    refunds: Sequence[Paid] = ()
    invoice_number: str = ""
    invoice_on: Day = ""
    owner_agreed: bool = False
    """Whether the owner agreed to the fate of the board."""
    cause_name: str = ""
    missing: tuple[str, ...] = ()
    """The parts that were not on the board when it came."""
    unreadable: tuple[str, ...] = ()
    """The tables that bind, or are billed from, in which something could not be read."""

    @property
    def is_given_up(self) -> bool:
        """Tell whether the owner gave the board away, as a donor of parts or to be recycled."""
        return self.fate in GIVEN_UP and self.owner_agreed

    @property
    def is_agreed(self) -> bool:
        """Tell whether the client agreed: on a day of the job, or to a price since the quote."""
        return bool(self.agreed) or any(day >= self.quoted for day, _ in self.price_agreed if self.quoted)

    @property
    def gone(self) -> Day:
        """Tell the day on which the stay was over: sent, collected, or finished where the owner gave the board away."""
        return self.sent or self.collected or (self.finished if self.is_given_up else "")

    @property
    def known_from(self) -> Day:
        """Tell the day from which on the job is known, announced or received, the earlier one; "" for neither."""
        return min(filter(None, (self.announced, self.received)), default="")

    @property
    def is_on_its_way(self) -> bool:
        """Tell whether the board was announced and has not come yet."""
        return bool(self.announced) and not self.received
