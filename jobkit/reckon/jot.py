"""From the words behind `jot` to an entry.

Bare words go to the keys of their row in order, each to the first that can hold it: a choice takes one of its words or
the only beginning of one, a part a name of the board file or what looks like a designator, a number a number. The name
of a key before a word says where it goes: `fit u3 alloy SAC305`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any, NamedTuple

from jobkit.book.entry_keys import Key
from jobkit.jobs.duration import parse_within
from jobkit.jobs.money import parse_money
from jobkit.jobs.naming import NamingError, UnknownNameError, named
from jobkit.reckon.jots import Jot
from jobkit.units.errors import MisuseError
from jobkit.units.slip import either, nearest
from jobkit.units.typed import as_written, kinds_told, looks_like_value
from jobkit.units.want import usual_want

_NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)?")
_NUMBER_UNIT = re.compile(r"(?: ?(?:min|h|mm))?")
_SUM = re.compile(r"([0-9]+(?:[.,][0-9]{1,4})?) ?([A-Za-z]{3})?")
_DESIGNATOR = re.compile(r"[A-Za-z]{1,4}[0-9]{1,5}[A-Za-z]?")
_PERCENTAGE = re.compile(r"([0-9]+(?:[.,][0-9]+)?) ?%?")
_NAMES = frozenset(("near", "passed", "failed"))
"""Lists of names, which commas part; the others hold free text, an item each time they are given."""
_YES, _NO = ("yes", "true"), ("no", "false")
_FEWEST = 2
"""So many letters make the beginning of a choice: fewer may be anything."""


class JotError(MisuseError):
    """Words that make no entry."""


class Known(NamedTuple):
    """What words may name: parts, rails and the like by key; the day and the currency; which job a word means."""

    now: datetime
    names: Mapping[str, Sequence[str]] = {}
    currency: str | None = None
    job_named: Callable[[str], str] | None = None


class _Given:
    """The keys given so far, and the words still to be placed."""

    def __init__(self, jot: Jot, keys: Sequence[Key], known: Known) -> None:
        self.jot = jot
        self.keys = {key.name: key for key in keys if not jot.only or key.name in jot.only}
        self.known = known
        self.values: dict[str, Any] = {}

    def set(self, key: Key, word: str) -> None:
        if key.form in {"texts", "pairs"} and key.name in self.values:
            more = value_of(key, word, self.known)
            mine = self.values[key.name]
            self.values[key.name] = {**mine, **more} if isinstance(more, dict) else [*mine, *more]
        elif key.name in self.values:
            raise JotError(f"{key.name} is given twice", "give it once")
        else:
            self.values[key.name] = value_of(key, word, self.known)

    def key_named(self, word: str) -> Key | None:
        return self.keys.get(word.replace("-", "_"))


def entry_of(
    jot: Jot, keys: Sequence[Key], words: Sequence[str], options: Mapping[str, Sequence[str]], known: Known
) -> dict[str, Any]:
    """Make an entry of words and options; raises MisuseError where they make none.

    What is missing is not looked for here: the schema says it better.
    """
    given = _Given(jot, keys, known)
    todo = list(words)
    while todo:
        word = todo.pop(0)
        key = given.key_named(word)
        if key is None:
            _place(given, word)
        elif key.form == "flag" and (not todo or todo[0].casefold() not in (*_YES, *_NO)):
            given.values[key.name] = True
        elif not todo:
            raise JotError(f"{key.name} has no value", _example(key))
        else:
            given.set(key, todo.pop(0))
    for name, texts in options.items():
        for text in texts:
            given.set(given.keys[name], text)
    return {key: given.values[key] for key in given.keys if key in given.values}


def dates_of(keys: Sequence[Key], words: Sequence[str], known: Known) -> dict[str, date]:
    """Make days of words such as "agreed sent 2026-10-26": a day behind its name, else today. Raises MisuseError."""
    names = [key.name for key in keys if key.form == "day"]
    days: dict[str, date] = {}
    todo = list(words)
    while todo:
        name = named(todo.pop(0), names, "date of a job")
        is_day = bool(todo) and (todo[0][:1].isdigit() or todo[0].casefold() in {"today", "yesterday"})
        days[name] = _day(todo.pop(0), known) if is_day else known.now.date()
    if not days:
        raise JotError("date needs a name", f"name one of {', '.join(names)}")
    return days


def value_of(key: Key, word: str, known: Known) -> Any:
    """Read a word as the value of a key; raises MisuseError."""
    if key.name in known.names and key.form == "text":
        return _name(key, word, known)
    if key.form == "texts":
        parts = word.split(",") if key.name in _NAMES else (word,)
        return [_name(key, part.strip(), known) for part in parts if part.strip()]
    return _FORMS[key.form](key, word, known)


def _place(given: _Given, word: str) -> None:
    for name in given.jot.words:
        key = given.keys[name]
        if name not in given.values and _can_hold(key, word, given.known):
            given.set(key, word)
            return
        if key.choices and key.required and name not in given.values and name == given.jot.words[0]:
            given.set(key, word)  # raises: without it the entry says nothing
    raise JotError(f'"{word}" has no place in {given.jot.name}', _mend(given, word))


def _mend(given: _Given, word: str) -> str:
    choices = [
        key for name in given.jot.words if (key := given.keys[name]).choices and name not in given.values
    ]
    near = nearest(word.casefold(), tuple(given.keys)) or next(
        (close for key in choices if (close := nearest(word.casefold(), key.choices))), None
    )
    if near:
        return f'write "{near}"'
    if choices and choices[0].required:
        return f"{choices[0].name} is {either(choices[0].choices)}"
    return f"put the name of its key before it: {either(tuple(given.keys))}"


def _can_hold(key: Key, word: str, known: Known) -> bool:
    """Tell whether a bare word can be meant for a key."""
    if key.name in {"part", "rail"}:
        return bool(_DESIGNATOR.fullmatch(word)) or _is_named(word, known.names.get(key.name, ()))
    if key.name == "hours":  # a bare number is minutes
        return _number(word) is not None and word.endswith("h")
    if key.name in {"qty", "quantity"}:  # a number with a point is a price
        return word.isdigit()
    if key.name == "from" and key.form == "text":
        return _is_named(word, known.names.get(key.name, ()))
    test = _TESTS.get(key.form)
    return test is None or test(key, word)


def _is_choice(key: Key, word: str) -> bool:
    small = word.casefold()
    return small in key.choices or (
        len(small) >= _FEWEST and sum(one.startswith(small) for one in key.choices) == 1
    )


def _is_quantity(key: Key, word: str) -> bool:
    told = kinds_told(word) if looks_like_value(word) else ("nothing",)
    return not told or key.kind in told


_TESTS: Mapping[str, Callable[[Key, str], bool]] = {
    "choice": _is_choice,
    "quantity": _is_quantity,
    "number": lambda _key, word: _number(word) is not None,
    "money": lambda _key, word: _SUM.fullmatch(word) is not None,
    "flag": lambda _key, word: word.casefold() in (*_YES, *_NO),
    "duration": lambda _key, word: word[:1].isdigit() or word[:1].casefold() == "p",
    "job": lambda _key, word: word[-1:].isdigit(),
}


def _is_named(word: str, names: Sequence[str]) -> bool:
    try:
        named(word, names, "name")
    except NamingError:
        return False
    return True


def _name(key: Key, word: str, known: Known) -> str:
    """Spell a name as the book has it; one that it does not know stays as typed, for lint to speak of."""
    try:
        return named(word, known.names.get(key.name, ()), key.name)
    except UnknownNameError:
        return word.upper() if key.name in {"part", "near", "rail"} and _DESIGNATOR.fullmatch(word) else word


def _choice(key: Key, word: str, _known: Known) -> str:
    return named(word, key.choices, f"choice for {key.name}")


def _number(word: str) -> Decimal | None:
    found = _NUMBER.match(word)
    if found is None or not _NUMBER_UNIT.fullmatch(word, found.end()):
        return None
    return Decimal(found[0].replace(",", "."))


def _read_number(key: Key, word: str, _known: Known) -> Decimal:
    number = _number(word)
    if number is None:
        raise JotError(f'{key.name} cannot be "{word}"', _example(key))
    return number


def _flag(key: Key, word: str, _known: Known) -> bool:
    if word.casefold() not in (*_YES, *_NO):
        raise JotError(f'{key.name} cannot be "{word}"', "say yes or no")
    return word.casefold() in _YES


def _money(key: Key, word: str, known: Known) -> str:
    found = _SUM.fullmatch(word)
    currency = found and (found[2] or known.currency)
    if found is None or not currency:
        raise JotError(f'{key.name} cannot be "{word}"', _example(key))
    return str(parse_money(f"{found[1].replace(',', '.')} {currency.upper()}"))


def _percentage(key: Key, word: str, _known: Known) -> str:
    found = _PERCENTAGE.fullmatch(word)
    if found is None:
        raise JotError(f'{key.name} cannot be "{word}"', _example(key))
    return f"{found[1].replace(',', '.')} %"


def _day(word: str, known: Known) -> date:
    days = {"today": 0, "yesterday": 1}
    if word.casefold() in days:
        return known.now.date() - timedelta(days=days[word.casefold()])
    try:
        return date.fromisoformat(word)
    except ValueError:
        raise JotError(f'"{word}" is no day', "write it like 2026-10-19, today or yesterday") from None


def _moment(_key: Key, word: str, known: Known) -> datetime:
    try:
        text = f"{known.now.date()}T{word:0>5}" if "T" not in word and " " not in word else word
        return datetime.fromisoformat(text).replace(tzinfo=None)
    except ValueError:
        raise JotError(f'"{word}" is no time', "write it like 10:05 or 2026-10-22T10:05") from None


def _job(_key: Key, word: str, known: Known) -> str:
    return known.job_named(word) if known.job_named else word


def _pairs(key: Key, word: str, _known: Known) -> dict[str, str]:
    name, sign, value = word.partition("=")
    if not sign or not name.strip() or not value.strip():
        raise JotError(f'{key.name} cannot be "{word}"', "write name=value, one after the other")
    return {name.strip(): usual_want(value.strip()) if key.of == "want" else value.strip()}


def _example(key: Key) -> str:
    if key.choices:
        return f"it is {either(key.choices)}"
    return f"write it like {key.example}" if key.example else key.about.rstrip(".")


_FORMS: Mapping[str, Callable[[Key, str, Known], Any]] = {
    "text": lambda _key, word, _known: word,
    "choice": _choice,
    "number": _read_number,
    "flag": _flag,
    "quantity": lambda key, word, _known: as_written(word, key.kind),
    "money": _money,
    "percentage": _percentage,
    "day": lambda _key, word, known: _day(word, known),
    "moment": _moment,
    "duration": lambda _key, word, _known: str(parse_within(word)),
    "job": _job,
    "want": lambda _key, word, _known: usual_want(word),
    "pairs": _pairs,
}


def forms() -> Iterator[str]:
    """Name every form of a key that words can be read as."""
    yield from ("texts", *_FORMS)
