"""Answers as data: JSON and CSV."""

from __future__ import annotations

import csv
import io
import json
import re
from decimal import Decimal
from typing import Any

from jobkit.jobs.money import Money
from jobkit.pages.blocks import Table
from jobkit.units.quantity import Quantity

Data = dict[str, Any]

_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_NUMBER = re.compile(r"[+-][0-9][0-9.,]*(?:[ ]?[^\W\d_°%]*[°%]?[^\W\d_]{0,3})")
"""A signed number, and the unit that may follow it."""
_CONTROL = re.compile("[\x7f-\x9f\u2028-\u202e\u2066-\u2069]")
"""What JSON may hold as it is, and a terminal or an editor would obey."""


def as_json(data: Data) -> str:
    """Write one object; keys stay in the order in which the page gives them."""
    text = json.dumps(_without_noise(data), ensure_ascii=False, indent=2)
    return _CONTROL.sub(lambda found: f"\\u{ord(found[0]):04x}", text) + "\n"


def _without_noise(data: Any) -> Any:
    """Give calculated figures 12 digits: the last ones of a float are those of a system, and mean nothing.

    What was written down has its digits; a float holds 15 of them.
    """
    match data:
        case float() if len(repr(data).partition("e")[0].strip("-0.").replace(".", "")) > 15:
            return float(f"{data:.12g}")
        case dict():
            return {key: _without_noise(value) for key, value in data.items()}
        case list() | tuple():
            return [_without_noise(value) for value in data]
    return data


def as_csv(table: Table) -> str:
    """Write a table as RFC 4180 has it: heads that are names, and cells that a spreadsheet would run disarmed."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(map(column_name, table.heads))
    writer.writerows([disarmed(cell) for cell in row] for row in table.rows)
    return out.getvalue()


def column_name(head: str) -> str:
    """Make a head into a name that no query language wants in quotes.

    >>> column_name("covered until")
    'covered_until'
    """
    return re.sub("[^0-9A-Za-z]+", "_", head).strip("_").lower()


def disarmed(cell: str) -> str:
    r"""Put an apostrophe before a text that a spreadsheet would take for a formula; numbers stay as they are.

    Which texts, and the apostrophe: OWASP, "CSV Injection" (from memory).

    >>> print(disarmed("=1+2"), disarmed("-12.5"), disarmed("-12.5 mV"), disarmed("-1+2"))
    '=1+2 -12.5 -12.5 mV '-1+2
    """
    return f"'{cell}" if cell.startswith(_FORMULA) and not _NUMBER.fullmatch(cell) else cell


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
