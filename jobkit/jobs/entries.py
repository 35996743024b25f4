"""The entries of a job file: what was measured, seen, done, used and proved, one record each.

Every entry carries `at` (local time without offset), `by` (who) and `path`, its place in the file. A value that the
file does not give, or that could not be read, is None; the finding about it is not repeated here.
"""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from operator import attrgetter

from jobkit.jobs.finding import Place
from jobkit.jobs.money import Money
from jobkit.named_tuple import NamedTuple
from jobkit.units.limit import Limit
from jobkit.units.quantity import Quantity
from jobkit.units.repeated import mean_of


class Reading(NamedTuple):
    """One measurement at a point: kind, value with unit, and how it was taken."""

    path: Place
    at: datetime | None = None
    by: str | None = None
    stage: str | None = None
    point: str | None = None
    kind: str | None = None
    value: Quantity | None = None
    limit: Limit | None = None
    state: str | None = None
    meter: str | None = None
    to: str | None = None
    red_on: str | None = None
    removed: tuple[str, ...] = ()
    settled: bool = True
    group: str | None = None
    decision: str | None = None
    range: Quantity | None = None
    four_wire: bool = False
    note: str | None = None
    again: tuple[Quantity, ...] = ()

    @property
    def values(self) -> tuple[Quantity, ...]:
        """All that the display showed: the value, and the same taken again."""
        return (self.value, *self.again) if self.value else ()

    @property
    def shown(self) -> Quantity | None:
        """The value, or the mean where it was taken again."""
        return mean_of(self.values) if self.value and self.again else self.value

    def apart_from_when(self) -> tuple[object, ...]:
        """Give all that was read, and how: alike in readings that differ only in their place, time and hand."""
        return _all_that_was_read(self)


_all_that_was_read = attrgetter(
    *(name for name in Reading._fields if name not in {"path", "at", "by", "stage"})
)


class Inject(NamedTuple):
    """Current driven into a shorted rail to find the short by its heat."""

    path: Place
    at: datetime | None = None
    by: str | None = None
    rail: str | None = None
    volts: Quantity | None = None
    amps: Quantity | None = None
    minutes: Decimal | None = None
    hottest: str | None = None
    note: str | None = None


class Photo(NamedTuple):
    """A picture in the job's own folder, and what it shows."""

    file: str
    caption: str | None = None

    def __str__(self) -> str:
        """Write the name of the file, with the caption in brackets."""
        return f"{self.file} ({self.caption})" if self.caption else self.file


class Seen(NamedTuple):
    """What a test or the eye showed."""

    path: Place
    at: datetime | None = None
    by: str | None = None
    check: str | None = None
    passed: tuple[str, ...] = ()
    failed: tuple[str, ...] = ()
    log: str | None = None
    what: str | None = None
    photos: tuple[Photo, ...] = ()


class Pad(NamedTuple):
    """One damaged pad under a ball or pin: of the board, or of the package where `side` says so."""

    path: Place
    at: datetime | None = None
    by: str | None = None
    part: str | None = None
    ball: str | None = None
    carries: str | None = None
    damage: str | None = None
    repaired: str | None = None
    reads: Quantity | None = None
    meter: str | None = None
    note: str | None = None
    side: str | None = None
    photos: tuple[Photo, ...] = ()

    @property
    def of_package(self) -> bool:
        """Tell whether it is a pad of the package."""
        return self.side == "package"

    @property
    def is_repaired(self) -> bool:
        """Tell whether it was repaired: bonded, or replaced by a wire."""
        return self.repaired not in {None, "left-open"}


class Work(NamedTuple):
    """One thing done to the board; `pads_mm` are thicknesses by place, "" where one is for all."""

    path: Place
    at: datetime | None = None
    by: str | None = None
    minutes: Decimal | None = None
    did: str | None = None
    part: str | None = None
    what: str | None = None
    came: str | None = None
    alloy: str | None = None
    heat: str | None = None
    probe: tuple[tuple[str, str], ...] = ()
    near: tuple[str, ...] = ()
    hours: Decimal | None = None
    oven: Quantity | None = None
    removal_alloy: str | None = None
    paste: str | None = None
    pads_mm: tuple[tuple[str, Decimal], ...] = ()
    photos: tuple[Photo, ...] = ()


class Used(NamedTuple):
    """A part that went onto the board, and where it came from.

    `source` is stock (also where it is None), bought, client or the id of a donor's job; `donor_part` names the place
    on the donor where that is another than `part`. `cost` is what one piece cost the bench, `price` what the client
    pays for one, `tax` a rate of its own in percent.
    """

    path: Place
    at: datetime | None = None
    by: str | None = None
    part: str | None = None
    item: str | None = None
    source: str | None = None
    qty: Decimal = Decimal(1)
    cost: Money | None = None
    price: Money | None = None
    tax: Decimal | None = None
    lot: str | None = None
    donor_part: str | None = None
    note: str | None = None

    @property
    def from_donor(self) -> bool:
        """Tell whether it came off another board; `source` is then the id of its job."""
        return self.source not in {None, "", "stock", "bought", "client"}


class Trial(NamedTuple):
    """A test run on the whole board; `repeats` times in a row with one result."""

    path: Place
    at: datetime | None = None
    by: str | None = None
    run: str | None = None
    minutes: Decimal | None = None
    result: str | None = None
    log: str | None = None
    limit: tuple[tuple[str, Limit], ...] = ()
    host: str | None = None
    driver: str | None = None
    ambient: Quantity | None = None
    cold_start: bool | None = None
    note: str | None = None
    repeats: Decimal = Decimal(1)
    supply: str | None = None


class Wait(NamedTuple):
    """A stretch of time in which the job could not go on; open while `until` is None."""

    path: Place
    at: datetime | None = None
    by: str | None = None
    reason: str | None = None
    since: date | None = None
    until: date | None = None
    what: str | None = None


class Note(NamedTuple):
    """Something written down at any time; `client` where the client's report prints it."""

    path: Place
    at: datetime | None = None
    by: str | None = None
    text: str | None = None
    client: bool = False


class Message(NamedTuple):
    """What was exchanged with the client or with others, at any time; `client` where the client's report prints it.

    `sender` is us or them, None where it is not said.
    """

    path: Place
    at: datetime | None = None
    by: str | None = None
    other: str | None = None
    text: str | None = None
    log: str | None = None
    sender: str | None = None
    client: bool = False


class Agreement(NamedTuple):
    """A price the client agreed to, and when."""

    path: Place
    at: datetime | None = None
    by: str | None = None
    on: date | None = None
    amount: Money | None = None
    note: str | None = None


class BillLine(NamedTuple):
    """A line of the bill in the bench's own words: so many at a price each; `tax` is a rate of its own in percent."""

    path: Place
    at: datetime | None = None
    by: str | None = None
    what: str | None = None
    quantity: Decimal = Decimal(1)
    each: Money | None = None
    tax: Decimal | None = None


class Payment(NamedTuple):
    """A payment that came in."""

    path: Place
    at: datetime | None = None
    by: str | None = None
    on: date | None = None
    amount: Money | None = None
    note: str | None = None


class Credit(NamedTuple):
    """A sum given back, written without a minus; `tax` is its own rate in percent, `number` that of its credit note."""

    path: Place
    at: datetime | None = None
    by: str | None = None
    on: date | None = None
    amount: Money | None = None
    why: str | None = None
    tax: Decimal | None = None
    number: str | None = None


class Discount(NamedTuple):
    """An amount taken off the bill, written without a minus, and why; `tax` is a rate of its own in percent."""

    path: Place
    at: datetime | None = None
    by: str | None = None
    amount: Money | None = None
    why: str | None = None
    tax: Decimal | None = None


class Refund(NamedTuple):
    """Money that was paid back to the client, written without a minus."""

    path: Place
    at: datetime | None = None
    by: str | None = None
    on: date | None = None
    amount: Money | None = None
    note: str | None = None


class Waive(NamedTuple):
    """A finding accepted, with the reason."""

    path: Place
    at: datetime | None = None
    by: str | None = None
    rule: str | None = None
    about: str | None = None
    why: str | None = None


class Amended(NamedTuple):
    """A change to a job that had already been sent, owned up to."""

    path: Place
    at: datetime | None = None
    by: str | None = None
    why: str | None = None
