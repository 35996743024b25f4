"""What a new book has to know of its bench: each answer is read at once, and asked again where it cannot be."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import TypeVar
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from jobkit.cli.bench.asking import at_terminal
from jobkit.cli.bench.designing import asked_until
from jobkit.jobs.currency import minor_units
from jobkit.jobs.money import MoneyError, parse_money
from jobkit.jobs.naming import spelled
from jobkit.jobs.settings import Settings
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError

_LOCAL_TIME = Path("/etc/localtime")
_NONE = "none"
_PERCENT = re.compile(r"([0-9]{1,2}(?:[.,][0-9]{1,3})?|100) ?%?")
_SUM = re.compile(r"([0-9]+(?:[.,][0-9]+)?)(?: ?([A-Za-z]{3}))?")
_LONGEST_COOLING = 1440

_Read = TypeVar("_Read")


class Founding(NamedTuple):
    """What the call says of the bench; None where it says nothing."""

    name: str | None = None
    letter: str | None = None
    zone: str | None = None
    currency: str | None = None
    rate: str | None = None
    tax: str | None = None
    cooling: str | None = None


class NewBench(NamedTuple):
    """The settings of a new bench: the keys of [bench], the tax rate ("" for none), and the cooling time."""

    bench: dict[str, str]
    tax: str = ""
    cooling: int | None = None


def found(told: Founding, folder: Path) -> NewBench:
    """Put the settings together: as told, else as asked at a terminal, else the habit; raises MisuseError."""
    habit = folder.resolve().name.replace("-", " ") or "bench"
    name = told.name or asked_until("name of the bench", habit, str)
    bench = {
        "name": name,
        "letter": _taken(told.letter, "letter of its job ids", _first_letter(name), _letter),
        "zone": _taken(told.zone, "time zone", _own_zone(), _zone),
    }
    currency = _taken(told.currency, "currency", _NONE, _currency)
    if currency:
        bench["currency"] = currency
        rate = _taken(told.rate, "rate of an hour on the bench", _NONE, lambda text: _rate(text, currency))
        bench |= {"rate": rate} if rate else {}
    elif told.rate:
        raise MisuseError("--rate needs a currency", "give --currency too")
    tax = _taken(told.tax, "tax on bills in percent", _NONE, _tax)
    return NewBench(bench, tax, _cooling_of(told.cooling))


def _taken(told: str | None, what: str, habit: str, read: Callable[[str], _Read]) -> _Read:
    return read(told) if told is not None else asked_until(what, habit, read)


def _cooling_of(told: str | None) -> int | None:
    """Read the cooling time; None where nothing was said and no one can be asked, so that the usual one counts."""
    if told is None and not at_terminal():
        return None
    usual = str(Settings().cooling_minutes)
    return _taken(told, "minutes a board cools down before it is read cold", usual, _cooling)


def _letter(text: str) -> str:
    if len(text) != 1 or not text.isascii() or not text.isalpha():
        raise MisuseError(
            f'the letter cannot be "{text}"', "choose one letter from A to Z, a different one for each bench"
        )
    return text.upper()


def _first_letter(name: str) -> str:
    return next((one.upper() for one in name if one.isascii() and one.isalpha()), "A")


def _zone(text: str) -> str:
    try:
        ZoneInfo(text)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        named = spelled(text, available_timezones())
        if named is None:
            raise MisuseError(f'there is no time zone "{text}"', "name one like Atlantic/Reykjavik") from None
        return named
    return text


def _own_zone() -> str:
    """Tell the time zone that this machine goes by, UTC where it does not say."""
    named = os.environ.get("TZ", "").lstrip(":")
    if not named and _LOCAL_TIME.is_symlink():
        named = str(_LOCAL_TIME.resolve()).partition("zoneinfo/")[2]
    try:
        return _zone(named) if named else "UTC"
    except MisuseError:
        return "UTC"


def _currency(text: str) -> str:
    if text.casefold() == _NONE:
        return ""
    minor_units(text.upper())
    return text.upper()


def _rate(text: str, currency: str) -> str:
    """Read the price of an hour, "" for none; without a currency it is the bench's."""
    if text.casefold() == _NONE:
        return ""
    found = _SUM.fullmatch(text)
    if found is None:
        raise MoneyError(f'the rate cannot be "{text}"', "write a sum such as 48 or 48.00 EUR")
    return str(parse_money(f"{found[1].replace(',', '.')} {(found[2] or currency).upper()}"))


def _tax(text: str) -> str:
    if text.casefold() == _NONE:
        return ""
    found = _PERCENT.fullmatch(text)
    if found is None:
        raise MisuseError(f'the tax cannot be "{text}"', "write a percentage such as 24, or none")
    rate = found[1].replace(",", ".")
    return f"{rate} %" if Decimal(rate) else ""


def _cooling(text: str) -> int:
    minutes = text.removesuffix("min").strip()
    if not minutes.isdecimal() or int(minutes) > _LONGEST_COOLING:
        raise MisuseError(f'the cooling time cannot be "{text}"', "write whole minutes, at most 1440")
    return int(minutes)
