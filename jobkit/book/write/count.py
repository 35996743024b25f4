"""Write a count into the text of stock.toml."""

from __future__ import annotations

from decimal import Decimal

from jobkit.book.edit import set_key
from jobkit.book.toml.parse import parse_text
from jobkit.jobs.stock import Count
from jobkit.units.errors import MisuseError


class CountError(MisuseError):
    """A count that cannot be written down."""


def with_count(text: str, count: Count) -> str:
    """Put a count into the text of stock.toml: `counted` and `counted_on` of the item, `counted` of its lots.

    All else stays byte for byte. Raises CountError where the item or a lot has gone from the text meanwhile, TomlError
    where it is not TOML, EditError where it cannot be changed.
    """
    item = parse_text(text).get("item", {}).get(count.item)
    if not isinstance(item, dict):
        raise CountError(f"there is no {count.item} in stock.toml", "add it first")
    names = [lot.get("name") for lot in item.get("lot", ())]
    text = set_key(text, ("item", count.item, "counted"), plain_number(count.counted))
    text = set_key(text, ("item", count.item, "counted_on"), count.on)
    for name, counted in count.lots:
        if name not in names:
            raise CountError(f"{count.item} has no lot {name} in stock.toml", "add it first")
        text = set_key(text, ("item", count.item, "lot", names.index(name), "counted"), plain_number(counted))
    return text


def plain_number(count: Decimal) -> int | Decimal:
    """Give a count as it is written: without a point where it is whole."""
    return int(count) if count == count.to_integral_value() else count
