"""Parts on hand."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import NamedTuple

from jobkit.jobs.finding import Place
from jobkit.jobs.money import Money


class Item(NamedTuple):
    """One kind of part: counted how many, when, and what it costs."""

    path: Place
    name: str
    what: str | None = None
    counted: Decimal | None = None
    counted_on: date | None = None
    reorder_at: Decimal | None = None
    cost: Money | None = None
    moisture: str | None = None
    body_mm: Decimal | None = None
    opened: date | None = None
