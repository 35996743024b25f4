"""What a part from stock cost on the day of use, for an entry that does not say: a later price then changes nothing."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from jobkit.jobs.bench import Bench


def cost_of_the_day(entry: Mapping[str, Any], bench: Bench) -> Mapping[str, Any]:
    """Return the `cost` to add to a [[used]] entry: that of its lot, else of its item; {} where none applies."""
    at = entry.get("at")
    item = bench.stock.get(entry.get("item", "")) if entry.get("from", "stock") == "stock" else None
    if item is None or "cost" in entry or not isinstance(at, datetime):
        return {}
    lot = item.lot(entry.get("lot", ""))
    cost = (lot and lot.cost) or item.cost_on(at.date().isoformat())
    return {"cost": str(cost)} if cost else {}
