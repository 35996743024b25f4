"""What the bench has settled once for all its jobs."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import NamedTuple

from jobkit.jobs.duration import Duration
from jobkit.jobs.money import Money
from jobkit.units.limit import Limit
from jobkit.units.verdict import Decision


class Tax(NamedTuple):
    """How a bill is taxed: rate in percent, prices net or gross, rounded by line or by bill, a sentence for each."""

    name: str = "tax"
    rate: Decimal = Decimal(0)
    prices: str = "net"
    rounded: str = "bill"
    note: str = ""


class WarrantyHabit(NamedTuple):
    """The bench's warranty where a job says nothing of its own."""

    runs: Duration | None = None
    counted_from: str = "sent"
    comeback: str = "continues"
    remind: tuple[Duration, ...] = ()
    void_if: tuple[str, ...] = ()


class Proof(NamedTuple):
    """What must be proved before a board may be sent, in this order; `load_limit` are the limits by sensor."""

    cold_resistance: tuple[str, ...] = ()
    function: tuple[str, ...] = ()
    load_run: str | None = None
    load_minutes: Decimal | None = None
    load_limit: tuple[tuple[str, Limit], ...] = ()
    last: tuple[str, ...] = ()


class Patience(NamedTuple):
    """Days before something left undone falls due."""

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


class Settings(NamedTuple):
    """bench.toml, with the usual habit wherever it is silent."""

    name: str = "the bench"
    letter: str = "A"
    zone: str = "UTC"
    currency: str | None = None
    rate: Money | None = None
    tax: Tax = Tax()
    warranty: WarrantyHabit = WarrantyHabit()
    decision: Decision = Decision()
    proof: Mapping[str, Proof] = {}
    """By kind of board, or by "kind / outcome" where an outcome asks for more."""
    heat_cycles: int = 3
    cooling_minutes: int = 10
    patience: Patience = Patience()
    lint: Lint = Lint()

    def proof_for(self, kind: str | None, outcome: str | None) -> Proof | None:
        """Find the proof policy of a kind of board, the one of its outcome first."""
        return self.proof.get(f"{kind} / {outcome}") or self.proof.get(kind or "")
