"""Write a delivery into the text of stock.toml."""

from __future__ import annotations

from jobkit.book.edit import Value, append_entry
from jobkit.book.toml.parse import parse_text
from jobkit.book.write.count import CountError, plain_number
from jobkit.jobs.stock import Receipt


def with_receipt(text: str, item: str, receipt: Receipt) -> str:
    """Append a delivery to an item, and the lot that it went into where that is new.

    All else stays byte for byte. Raises CountError where the item has gone from the text meanwhile, TomlError where it
    is not TOML, EditError where it cannot be changed.
    """
    table = parse_text(text).get("item", {}).get(item)
    if not isinstance(table, dict):
        raise CountError(f"there is no {item} in stock.toml", "add it first")
    if receipt.lot and receipt.lot not in [lot.get("name") for lot in table.get("lot", ())]:
        text = append_entry(text, ("item", item, "lot"), {"name": receipt.lot, "counted": 0})
    return append_entry(text, ("item", item, "received"), _entry(receipt))


def _entry(receipt: Receipt) -> dict[str, Value]:
    said: dict[str, Value | None] = {
        "at": receipt.at,
        "by": receipt.by,
        "qty": plain_number(receipt.qty) if receipt.qty else None,
        "cost": str(receipt.cost) if receipt.cost else None,
        "lot": receipt.lot,
        "note": receipt.note,
    }
    return {key: value for key, value in said.items() if value is not None}
