"""What the bench has settled once for all its jobs."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from jobkit.jobs.design import Check
from jobkit.jobs.duration import Duration
from jobkit.jobs.facts import Day
from jobkit.jobs.heat_policy import HeatPolicy
from jobkit.jobs.in_force import AmountSince, amount_in_force, in_force
from jobkit.jobs.money import Money
from jobkit.named_tuple import NamedTuple
from jobkit.units.limit import Limit
from jobkit.units.sensor_accuracy import SensorAccuracy
from jobkit.units.verdict import Decision


class Tax(NamedTuple):
    """How a bill is taxed: rate in percent, prices net or gross, rounded by line or by bill, a sentence for each.

    `since` is the first day on which it is in force, "" from the start. `category_at_zero` is what a rate of 0 % means,
    by its code of UNTDID 5305: Z, E, G or O; "" where the bench does not say.
    """

    name: str = "tax"
    rate: Decimal = Decimal(0)
    prices: str = "net"
    rounded: str = "bill"
    note: str = ""
    since: Day = ""
    category_at_zero: str = ""


class WarrantyHabit(NamedTuple):
    """The bench's warranty where a job says nothing of its own; `since` as in `Tax`."""

    duration: Duration | None = None
    counted_from: str = "sent"
    comeback: str = "continues"
    remind: tuple[Duration, ...] = ()
    void_if: tuple[str, ...] = ()
    since: Day = ""


class LoadProof(NamedTuple):
    """The loaded run that is asked for: how many `minutes`, or several runs `in_a_row`, each so many minutes.

    `limit` and `accuracy` are by sensor; a trial's own limit for a sensor takes the place of the bench's. `log` asks
    for a log, `conditions` names the keys of the trial that have to be written down.
    """

    run: str = ""
    minutes: Decimal | None = None
    in_a_row: tuple[Decimal, ...] = ()
    limit: tuple[tuple[str, Limit], ...] = ()
    log: bool = False
    accuracy: tuple[tuple[str, SensorAccuracy], ...] = ()
    conditions: tuple[str, ...] = ()

    @property
    def runs(self) -> tuple[Decimal | None, ...]:
        """Give the minutes of each run that is asked for; None where any length will do."""
        return self.in_a_row or (self.minutes,)


class Proof(NamedTuple):
    """What must be proved before a board may be sent, in this order; `repeats` says how often a run, where not once."""

    cold_resistance: tuple[str, ...] = ()
    function: tuple[str, ...] = ()
    load: LoadProof | None = None
    last: tuple[str, ...] = ()
    repeats: tuple[tuple[str, int], ...] = ()

    @property
    def runs(self) -> tuple[str, ...]:
        """Name every run that is asked for."""
        return (*self.function, *((self.load.run,) if self.load else ()))

    def times(self, run: str) -> int:
        """Tell how often a run is to be passed."""
        return dict(self.repeats).get(run, 1)


class Papers(NamedTuple):
    """What papers for clients say: days until the client hears, how long a quote holds, the bench's own terms.

    `language` is the tag of the language for clients whose entry names none.
    """

    word: int | None = None
    quote_holds: Duration | None = None
    intake: tuple[str, ...] = ()
    quote: tuple[str, ...] = ()
    language: str | None = None


class Patience(NamedTuple):
    """Days before something left undone falls due."""

    arrival: int = 21
    quote: int = 5
    parts: int = 10
    collection: int = 30
    payment: int = 14


class Lint(NamedTuple):
    """Rules that the bench moves to another level, by name."""

    off: tuple[str, ...] = ()
    note: tuple[str, ...] = ()
    warn: tuple[str, ...] = ()
    error: tuple[str, ...] = ()


class LogHabit(NamedTuple):
    """How the logs of one kind are read, where the call says nothing else.

    `columns` are the log's own headings by jobkit's names, `header` those of a log that has none, `units` the units of
    columns that state none. `bad_rows` is the share of rows in percent past which a log is refused; `width` the bits of
    a word where leading zeros are left out.
    """

    columns: tuple[tuple[str, str], ...] = ()
    header: tuple[str, ...] = ()
    separator: str | None = None
    encoding: str | None = None
    bad_rows: Decimal | None = None
    width: int = 0
    units: tuple[tuple[str, str], ...] = ()


class Settings(NamedTuple):
    """bench.toml, with the usual habit wherever it is silent.

    `rate`, `tax` and `warranty` are histories, in the order of their first days. `supply` names the date of a job that
    counts for tax: finished or sent. `address`, `country`, `contact`, `tax_number` and `account` are those that papers
    print; `cash_rounding` is the step to which the amount to pay is rounded.
    """

    name: str = "the bench"
    letter: str = "A"
    letters: Mapping[str, str] = {}
    """Who has which letter, where clones have letters of their own."""
    zone: str = "UTC"
    currency: str | None = None
    rate: tuple[AmountSince, ...] = ()
    supply: str = "finished"
    address: tuple[str, ...] = ()
    country: str | None = None
    contact: tuple[str, ...] = ()
    tax_number: str | None = None
    account: str | None = None
    cash_rounding: Money | None = None
    tax: tuple[Tax, ...] = ()
    warranty: tuple[WarrantyHabit, ...] = ()
    decision: Decision = Decision()
    proof: Mapping[str, Proof] = {}
    """By kind of board, or by "kind / outcome" where an outcome asks for more."""
    heat_cycles: int = 3
    cooling_minutes: int = 10
    board_bake_since: date | None = None
    """From this day on boards are baked before rework; None for always."""
    heat: HeatPolicy = HeatPolicy()
    pad_limit: Limit | None = None
    patience: Patience = Patience()
    papers: Papers = Papers()
    lint: Lint = Lint()
    logs: Mapping[str, LogHabit] = {}
    """By kind of log: memory, load or heat."""
    checks: Mapping[str, tuple[Check, ...]] = {}
    """By kind of board: the checks that the bench makes on every board of the kind."""

    @property
    def known_letters(self) -> frozenset[str]:
        """Return every letter with which ids may begin; empty where bench.toml does not list them."""
        return frozenset((self.letter, *self.letters)) if self.letters else frozenset()

    def checks_for(self, kind: str | None) -> tuple[Check, ...]:
        """Return the checks that the bench makes on boards of a kind."""
        return self.checks.get(kind or "", ())

    def rate_on(self, day: Day) -> Money | None:
        """Return the hourly rate in force on a day."""
        return amount_in_force(self.rate, day)

    def tax_on(self, day: Day) -> Tax:
        """Return how a supply of a day is taxed: not at all before the first entry."""
        return in_force(self.tax, day) or Tax()

    def warranty_on(self, day: Day) -> WarrantyHabit:
        """Return the warranty that the bench gives on what is agreed on a day; none before the first entry."""
        return in_force(self.warranty, day) or WarrantyHabit()

    def proof_for(self, kind: str | None, outcome: str | None) -> Proof | None:
        """Find the proof policy of a kind of board, the one of its outcome first."""
        return self.proof.get(f"{kind} / {outcome}") or self.proof.get(kind or "")
