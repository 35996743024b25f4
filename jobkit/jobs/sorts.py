"""The one table of a job's tables: what each becomes, and all that follows from its sort.

A row says which record a table of a job file becomes and where that is in the job. Reading, order in the file, `jot`,
merge, changes, `--on`, sealing and export go by these rows; the keys of each table come from the schema.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from jobkit.jobs import phrases
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
from jobkit.jobs.job import (
    Board,
    Cause,
    Comeback,
    Dates,
    Fate,
    Firmware,
    Intake,
    Invoice,
    Job,
    Parcel,
    Price,
    Warranty,
)
from jobkit.jobs.phrases import Judge, Phrase
from jobkit.named_tuple import NamedTuple

SEALED, ONLY_MORE = "sealed", "only more"
"""Once the board is sent, an entry that is SEALED stays as it is; of those that are ONLY_MORE, more may be added."""


class Sort(NamedTuple):
    """A table of a job file, which is there once, or an entry each time it is there.

    `path` is the table's name in the file, `field` that of the job (or of the price) which holds its record. `names`
    are the fields of the few keys that have another name in Python. `words` are the keys to which the bare words of
    `jot` go, `jot` its name there where that is another.

    What only entries have: `phrase` tells one; `same` are the keys by which two are the same one; `day` is the key that
    says from which day on it is known, and `end` the key of a later day that ends it. `here` is true of what happens
    on the bench, from receipt to sending; `files` are keys that name attachments; `opened_by` is the key without which
    words for `jot` complete an entry that is there instead of writing a new one.
    """

    path: tuple[str, ...]
    record: Callable[..., Any]
    field: str
    about: str = ""
    words: tuple[str, ...] = ()
    jot: str = ""
    names: Mapping[str, str] = {}
    phrase: Callable[[Any, Judge], Phrase] | None = None
    same: tuple[str, ...] = ()
    day: str = ""
    end: str = ""
    here: bool = False
    sealed: str = ""
    files: tuple[str, ...] = ()
    opened_by: str = ""

    @property
    def name(self) -> str:
        """Give the name by which changes and lists call it."""
        return self.path[-1]

    def field_of(self, key: str) -> str:
        """Name the field that holds a key."""
        return self.names.get(key, key)

    def value(self, record: Any, key: str) -> Any:
        """Give what a record holds of a key."""
        return getattr(record, self.names.get(key, key))

    def of(self, job: Job) -> tuple[Any, ...]:
        """Give what a job has of it: entries, or the one record that there may be."""
        holder = job if len(self.path) == 1 else job.price or Price()
        found: Any = getattr(holder, self.field)
        if not self.phrase:
            return () if found is None else (found,)
        entries: tuple[Any, ...] = found
        return entries

    def with_entries(self, job: Job, entries: tuple[Any, ...]) -> Job:
        """Give a job these entries instead of its own."""
        field: dict[str, Any] = {self.field: entries}
        if len(self.path) == 1:
            return job._replace(**field)
        return job._replace(price=(job.price or Price())._replace(**field))

    def told(self, entry: Any, judge: Judge) -> Phrase:
        """Tell an entry."""
        assert self.phrase is not None
        return self.phrase(entry, judge)

    def identity(self, entry: Any) -> tuple[Any, ...]:
        """Give what makes an entry this one and no other."""
        return tuple(self.value(entry, key) for key in self.same)


ROWS = (
    Sort(
        ("board",),
        Board,
        "board",
        "the board, as in `board place 'shelf B3' kept_back bracket`",
    ),
    Sort(
        ("intake",),
        Intake,
        "intake",
        "setup and condition, as in `intake setup 'rack node' condition 'scorch mark beside Q214'`",
        names={"from": "country"},
        files=("photos",),
    ),
    Sort(
        ("dates",),
        Dates,
        "dates",
        "a day of the job, as in `date agreed` (today) or `date sent 2026-10-26`",
        jot="date",
    ),
    Sort(
        ("parcel",),
        Parcel,
        "parcel",
        "the parcel, as in `parcel in 'RR 0417 7731 IS'`",
        names={"in": "came_in", "out": "went_out"},
    ),
    Sort(
        ("comeback",),
        Comeback,
        "comeback",
        "the earlier job of this board, and why it came back",
        ("of", "found"),
    ),
    Sort(
        ("wait",),
        Wait,
        "waits",
        "what the job waits for; `wait over` ends the wait",
        ("for", "what"),
        names={"for": "reason"},
        phrase=phrases.wait,
        same=("for", "since"),
        day="since",
        end="until",
    ),
    Sort(
        ("reading",),
        Reading,
        "readings",
        phrase=phrases.reading,
        same=("at", "point", "to", "kind", "stage"),
        day="at",
        here=True,
        sealed=SEALED,
    ),
    Sort(
        ("inject",),
        Inject,
        "injections",
        "current injected into a short",
        ("rail", "volts", "amps", "minutes", "hottest"),
        phrase=phrases.inject,
        same=("at", "rail"),
        day="at",
        here=True,
    ),
    Sort(
        ("seen",),
        Seen,
        "seen",
        "the result of a test or an inspection",
        ("check", "what"),
        phrase=phrases.seen,
        same=("at", "check"),
        day="at",
        here=True,
        files=("log", "photos"),
    ),
    Sort(
        ("pad",),
        Pad,
        "pads",
        "a damaged pad; later its repair and its reading",
        ("part", "ball", "side", "damage", "carries", "repaired", "reads"),
        phrase=phrases.pad,
        same=("part", "ball", "side"),
        day="at",
        here=True,
        files=("photos",),
        opened_by="damage",
    ),
    Sort(
        ("work",),
        Work,
        "work",
        "one piece of work on the board",
        ("did", "part", "came", "hours", "minutes", "what"),
        phrase=phrases.work,
        same=("at", "did", "part"),
        day="at",
        here=True,
        sealed=SEALED,
        files=("heat", "photos"),
    ),
    Sort(
        ("used",),
        Used,
        "used",
        "a part used",
        ("item", "part", "from", "qty", "cost"),
        names={"from": "source"},
        phrase=phrases.used,
        same=("at", "part", "item"),
        day="at",
        here=True,
        sealed=SEALED,
    ),
    Sort(
        ("trial",),
        Trial,
        "trials",
        "a test run on the whole board",
        ("run", "result", "minutes"),
        phrase=phrases.trial,
        same=("at", "run"),
        day="at",
        here=True,
        sealed=SEALED,
        files=("log",),
    ),
    Sort(
        ("firmware",),
        Firmware,
        "firmware",
        "the firmware, as in `firmware came 1.07 saved firmware-as-came.bin`",
        files=("saved",),
    ),
    Sort(("cause",), Cause, "cause", "the cause, when known", ("part", "fault"), sealed=SEALED),
    Sort(
        ("price",),
        Price,
        "price",
        "the price, as in `price quoted 160 ceiling 200`",
        sealed=SEALED,
    ),
    Sort(
        ("price", "agreed"),
        Agreement,
        "agreements",
        "a price the client agreed to",
        ("amount", "note"),
        jot="agreement",
        phrase=phrases.agreement,
        same=("on",),
        day="on",
        sealed=SEALED,
    ),
    Sort(
        ("price", "line"),
        BillLine,
        "lines",
        "a line of the bill in your own words",
        ("what", "each", "quantity"),
        phrase=phrases.bill_line,
        same=("what",),
        sealed=SEALED,
    ),
    Sort(
        ("price", "payment"),
        Payment,
        "payments",
        "a payment",
        ("amount", "note"),
        phrase=phrases.payment,
        same=("on",),
        day="on",
        sealed=ONLY_MORE,
    ),
    Sort(
        ("price", "credit"),
        Credit,
        "credits",
        "a credit",
        ("amount", "why"),
        phrase=phrases.credit,
        same=("on",),
        day="on",
        sealed=ONLY_MORE,
    ),
    Sort(
        ("price", "discount"),
        Discount,
        "discounts",
        "a discount, with its reason",
        ("amount", "why"),
        phrase=phrases.discount,
        same=("why",),
        sealed=SEALED,
    ),
    Sort(
        ("price", "refund"),
        Refund,
        "refunds",
        "money paid back to the client",
        ("amount", "note"),
        phrase=phrases.refund,
        same=("on",),
        day="on",
        sealed=ONLY_MORE,
    ),
    Sort(
        ("invoice",),
        Invoice,
        "invoice",
        "the invoice: alone, it gives the job the next number, and a credit after the invoice its own",
        ("number",),
        sealed=ONLY_MORE,
    ),
    Sort(
        ("warranty",),
        Warranty,
        "warranty",
        "a warranty that differs from the usual one",
        ("duration", "from", "scope"),
        names={"from": "counted_from"},
        sealed=SEALED,
    ),
    Sort(("fate",), Fate, "fate", "the fate of the board", ("is",), names={"is": "what"}),
    Sort(
        ("note",),
        Note,
        "notes",
        "a note, at any time: before the board came, after it was sent",
        ("text",),
        phrase=phrases.note,
        same=("at",),
        day="at",
    ),
    Sort(
        ("message",),
        Message,
        "messages",
        "what was exchanged with the client or others, as in `message client 'fails again'`",
        ("with", "text"),
        names={"with": "other", "from": "sender"},
        phrase=phrases.message,
        same=("at", "with"),
        day="at",
        files=("log",),
    ),
    Sort(
        ("amended",),
        Amended,
        "amended",
        "a change made after the board was sent",
        ("why",),
        phrase=phrases.amended,
        same=("at",),
        day="at",
    ),
    Sort(
        ("waive",),
        Waive,
        "waivers",
        "a finding accepted, with the reason",
        ("rule", "why"),
        phrase=phrases.waive,
        same=("rule", "about"),
    ),
)
"""Every table of a job file, in the order in which they follow one another there.

What makes a reading, a piece of work, a part used and a trial the same one is settled in the format; for the others it
is what you would not correct without meaning another thing.
"""

ENTRIES = tuple(row for row in ROWS if row.phrase)
"""The sorts of entry."""

TABLES = tuple(row for row in ROWS if not row.phrase)
"""The tables that are there once."""

READINGS = next(row for row in ROWS if row.record is Reading)
USED = next(row for row in ROWS if row.record is Used)
