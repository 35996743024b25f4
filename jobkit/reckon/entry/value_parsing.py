"""A word as the value of a key, by the form of the key."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from jobkit.book.schema.entry_keys import Key
from jobkit.jobs.duration import parse_within
from jobkit.jobs.money import parse_money, parse_unit_price
from jobkit.jobs.naming import UnknownNameError, named, spelled
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError
from jobkit.units.limit import usual_limit_spelling
from jobkit.units.slip import either
from jobkit.units.typed import as_written

DESIGNATOR = re.compile(r"[A-Za-z]{1,4}[0-9]{1,5}[A-Za-z]?")
"""What the designator of a part looks like."""

SUM = re.compile(r"([0-9]+(?:[.,][0-9]{1,8})?) ?([A-Za-z]{3})?")
"""A sum of money; without a currency it is the bench's."""

YES, NO = ("yes", "true"), ("no", "false")

_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+|,[0-9]{1,2})?(?![0-9.,])")
_NUMBER_UNIT = re.compile(r"(?: ?(?:min|h|mm))?")
_PERCENTAGE = re.compile(r"([0-9]+(?:[.,][0-9]+)?) ?%?")
_DESIGNATED = frozenset(("part", "near", "rail", "hottest", "ball", "donor_part"))
"""Keys that hold designators, which are written in capitals."""

_COUNTRY = re.compile(r"[A-Za-z]{2}")
"""What the code of a country looks like (ISO 3166-1 alpha-2); no source of a part does."""

_BETWEEN_PAIRS = re.compile(r",(?=[^=,<>]*[^=,<>\s][^=,<>]*=)")
"""A comma that another name and its sign follow; the sign of a limit, as in <=, is none."""

_NAMES = frozenset(("near", "passed", "failed"))
"""Lists of names, which commas part; the others hold free text, an item each time they are given."""


class JotError(MisuseError):
    """Words that make no entry."""


class JotContext(NamedTuple):
    """What words may name: parts, rails and the like by key; the day and the currency; which job a word means."""

    now: datetime
    names: Mapping[str, Sequence[str]] = {}
    currency: str | None = None
    job_named: Callable[[str], str] | None = None


def value_of(key: Key, word: str, known: JotContext) -> Any:
    """Read a word as the value of a key; raises MisuseError."""
    if key.name == "from" and not key.choices and _COUNTRY.fullmatch(word):
        return word.upper()
    if key.form == "text" and (key.name in known.names or key.name in _DESIGNATED):
        return _name(key, word, known)
    if key.form == "texts":
        parts = word.split(",") if key.name in _NAMES else (word,)
        return [_name(key, part.strip(), known) for part in parts if part.strip()]
    return _FORMS[key.form](key, word, known)


def _name(key: Key, word: str, known: JotContext) -> str:
    """Spell a name as the book has it; one that it does not know stays as typed, for lint to report."""
    if key.name == "about":  # of a waiver: it may be about anything
        return spelled(word, known.names.get(key.name, ())) or word
    try:
        return named(word, known.names.get(key.name, ()), key.name)
    except UnknownNameError:
        if key.name == "from" and word[-1:].isdigit() and known.job_named:
            return known.job_named(word)
        return word.upper() if key.name in _DESIGNATED and DESIGNATOR.fullmatch(word) else word


def _choice(key: Key, word: str, _known: JotContext) -> str:
    return named(word, key.choices, f"choice for {key.name}")


def number_in(word: str) -> Decimal | None:
    """Read a number, which may have the unit of its key behind it; None where the word is none."""
    found = _NUMBER.match(word)
    if found is None or not _NUMBER_UNIT.fullmatch(word, found.end()):
        return None
    return Decimal(found[0].replace(",", "."))


def _number(key: Key, word: str, _known: JotContext) -> Decimal:
    number = number_in(word)
    if number is None:
        raise JotError(f'{key.name} cannot be "{word}"', example(key))
    return number


def _numbers(key: Key, word: str, _known: JotContext) -> Any:
    """Read one number, or one for each name, as in memory=1.5,stages=2."""
    if "=" not in word:
        return _number_of_several(key, word)
    return {name: _number_of_several(key, value) for name, value in _named_values(key, word)}


def _number_of_several(key: Key, word: str) -> Decimal:
    number = number_in(word)
    if number is None:
        raise JotError(
            f'{key.name} cannot be "{word}"', "write one number, or one for each, as in memory=1.5,stages=2"
        )
    return number


def _flag(key: Key, word: str, _known: JotContext) -> bool:
    if word.casefold() not in (*YES, *NO):
        raise JotError(f'{key.name} cannot be "{word}"', "write yes or no")
    return word.casefold() in YES


def _money(key: Key, word: str, known: JotContext) -> str:
    found = SUM.fullmatch(word)
    currency = found and (found[2] or known.currency)
    if found is None or not currency:
        raise JotError(f'{key.name} cannot be "{word}"', example(key))
    parse = parse_unit_price if key.form == "unit price" else parse_money
    return str(parse(f"{found[1].replace(',', '.')} {currency.upper()}"))


def _percentage(key: Key, word: str, _known: JotContext) -> str:
    found = _PERCENTAGE.fullmatch(word)
    if found is None:
        raise JotError(f'{key.name} cannot be "{word}"', example(key))
    return f"{found[1].replace(',', '.')} %"


def day_in(word: str, known: JotContext) -> date:
    """Read a day, today or yesterday; raises JotError."""
    days = {"today": 0, "yesterday": 1}
    if word.casefold() in days:
        return known.now.date() - timedelta(days=days[word.casefold()])
    try:
        return date.fromisoformat(word)
    except ValueError:
        raise JotError(f'"{word}" is not a day', "write it like 2026-10-19, today or yesterday") from None


def _moment(_key: Key, word: str, known: JotContext) -> datetime:
    try:
        text = f"{known.now.date()}T{word:0>5}" if "T" not in word and " " not in word else word
        return datetime.fromisoformat(text).replace(tzinfo=None)
    except ValueError:
        raise JotError(f'"{word}" is not a time', "write it like 10:05 or 2026-10-22T10:05") from None


def _job(_key: Key, word: str, known: JotContext) -> str:
    return known.job_named(word) if known.job_named else word


def _pairs(key: Key, word: str, _known: JotContext) -> dict[str, str]:
    """Read values by name, as in t1=M6 joint,t2=M7 body top."""
    pairs = _named_values(key, word)
    return {name: usual_limit_spelling(value) if key.of == "limit" else value for name, value in pairs}


def _photo(word: str) -> str | dict[str, str]:
    """Read a photo, as in site.jpg or site.jpg=pad B4 before the repair."""
    file, sign, caption = (part.strip() for part in word.partition("="))
    return {"file": file, "caption": caption} if sign and caption else file


def _named_values(key: Key, word: str) -> Iterator[tuple[str, str]]:
    """Take name=value,name=value apart; a comma inside a value stays there."""
    names: set[str] = set()
    for pair in _BETWEEN_PAIRS.split(word):
        name, sign, value = (part.strip() for part in pair.partition("="))
        if not sign or not name or not value:
            raise JotError(f'{key.name} cannot be "{word}"', "write name=value, with commas between several")
        if name in names:
            raise JotError(f"{key.name} names {name} twice", "name each once")
        names.add(name)
        yield name, value


def example(key: Key) -> str:
    """Say how the value of a key is written."""
    if key.choices:
        return f"it is {either(key.choices)}"
    return f"write it like {key.example}" if key.example else key.about.rstrip(".")


_FORMS: Mapping[str, Callable[[Key, str, JotContext], Any]] = {
    "text": lambda _key, word, _known: word,
    "choice": _choice,
    "number": _number,
    "numbers": _numbers,
    "flag": _flag,
    "quantity": lambda key, word, _known: as_written(word, key.kind),
    "photos": lambda _key, word, _known: [_photo(word)],
    "quantities": lambda key, word, _known: [as_written(word, key.kind)],
    "money": _money,
    "unit price": _money,
    "percentage": _percentage,
    "day": lambda _key, word, known: day_in(word, known),
    "moment": _moment,
    "duration": lambda _key, word, _known: str(parse_within(word)),
    "job": _job,
    "limit": lambda _key, word, _known: usual_limit_spelling(word),
    "pairs": _pairs,
}


def forms() -> Iterator[str]:
    """Name every form of a key that words can be read as."""
    yield from ("texts", *_FORMS)
