"""Answers as data: JSON and CSV."""

from __future__ import annotations

import csv
import io
import json
from decimal import Decimal
from typing import Any

from jobkit.jobs.money import Money
from jobkit.pages.blocks import Table
from jobkit.units.quantity import Quantity

Data = dict[str, Any]


def as_json(data: Data) -> str:
    """Write one object; keys stay in the order in which the page gives them."""
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"


def as_csv(table: Table) -> str:
    """Write a table as RFC 4180 has it."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(table.heads)
    writer.writerows(table.rows)
    return out.getvalue()


def measured(quantity: Quantity | None) -> Data | None:
    """Give a measured value: number in the base unit, unit, and the text as written; an open reading has no number."""
    if quantity is None:
        return None
    value = None if quantity.open else number(quantity.value)
    return {"value": value, "unit": quantity.unit, "text": quantity.text}


def money(sum_: Money | None) -> str | None:
    """Give money as a decimal text with its currency."""
    return None if sum_ is None else str(sum_)


def number(value: Decimal) -> int | float:
    """Give an exact decimal as the nearest JSON number."""
    return int(value) if value == value.to_integral_value() else float(value)
