"""A count as it was typed, held against what the book says should be there."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal

from jobkit.jobs.stock import Count, Item
from jobkit.reckon.stock.on_hand import OnHand
from jobkit.units.errors import MisuseError
from jobkit.units.slip import quoted

_NUMBER = re.compile(r"[0-9]+(\.[0-9]+)?")


class CountRefusedError(MisuseError):
    """A count that says nothing, or what cannot be."""


def count_typed(there: OnHand, words: Sequence[str], on: date, today: date) -> Count:
    """Read a count: one number, or LOT=N for each lot of an item kept in lots.

    One number will do for an item in lots as well, where it is what the book says should be there: then each lot is
    where the book has it. A lot that is used up need not be counted: it stays in stock.toml, with none left, so that
    the jobs that used it can name it. Raises CountRefusedError.
    """
    item = there.item
    _check_day(item, on, today)
    typed = [word.rpartition("=") for word in words]
    if all(not equals for _, equals, _ in typed):
        return _whole(there, [number for _, _, number in typed], on)
    lots = {name: parse_count(number) for name, _, number in typed}
    used_up = [one.lot.name for one in there.lots if one.on_hand == 0]
    _check_lots(item, lots, len(typed), used_up)
    lots |= {name: Decimal(0) for name in used_up if name not in lots}
    return Count(item.name, on, sum(lots.values(), Decimal(0)), tuple(lots.items()))


def parse_count(text: str) -> Decimal:
    """Read how many there are; raises CountRefusedError.

    >>> parse_count("12.5")
    Decimal('12.5')
    """
    if _NUMBER.fullmatch(text):
        return Decimal(text)
    if _NUMBER.fullmatch(text.lstrip("-−")):
        raise CountRefusedError(f"{quoted(text)} is below zero", "count the parts on hand")
    if _NUMBER.fullmatch(text.replace(",", ".", 1)):
        raise CountRefusedError(f"{quoted(text)} has a decimal comma", "write a point")
    raise CountRefusedError(f"{quoted(text)} is not a count", "write a number, such as 12")


def _check_day(item: Item, on: date, today: date) -> None:
    if on > today:
        raise CountRefusedError(f"{on} is in the future", "count on the day itself")
    if item.counted_on and on < item.counted_on <= today:
        raise CountRefusedError(
            f"{item.name} was counted on {item.counted_on}, which is after {on}", "the later count is kept"
        )


def _whole(there: OnHand, numbers: Sequence[str], on: date) -> Count:
    if len(numbers) != 1:
        raise CountRefusedError(f"{there.item.name} was given {len(numbers)} counts", "write one number")
    counted = parse_count(numbers[0])
    lots = tuple((lot.lot.name, lot.on_hand or Decimal(0)) for lot in there.lots)
    if lots and (counted != sum(left for _, left in lots) or any(left < 0 for _, left in lots)):
        example = " ".join(f"{name}=N" for name, _ in lots)
        raise CountRefusedError(
            f"{there.item.name} is kept in lots, and {counted} is not what the book has in them",
            f"count each: `jobkit stock count {there.item.name} {example}`",
        )
    return Count(there.item.name, on, counted, lots)


def _check_lots(item: Item, lots: Mapping[str, Decimal], given: int, used_up: Sequence[str]) -> None:
    """Refuse a count that leaves out a lot which is not used up, or names one twice or one that there is not."""
    names = [lot.name for lot in item.lots]
    if not names:
        raise CountRefusedError(f"{item.name} is not kept in lots", "write one number")
    needed = [name for name in names if name not in used_up]
    if given != len(lots) or not set(needed) <= lots.keys() <= set(names):
        raise CountRefusedError(
            f"{item.name} is kept in the lots {', '.join(names)}",
            f"count each once: {' '.join(f'{one}=N' for one in needed or names)}",
        )
