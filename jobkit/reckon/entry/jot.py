"""From the words behind `jot` to an entry.

Bare words go to the keys of their row in order, each to the first that can hold it: a choice takes one of its words or
the only beginning of one, a part a name of the board file or what looks like a designator, a number a number. The name
of a key before a word says where it goes: `fit u3 alloy SAC305`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any

from jobkit.book.schema.entry_keys import Key
from jobkit.jobs.currency import MINOR_UNITS
from jobkit.jobs.naming import NamingError, named
from jobkit.jobs.renamed import KEYS, renamed
from jobkit.reckon.entry.jot_kinds import Jot
from jobkit.reckon.entry.value_parsing import (
    DESIGNATOR,
    NO,
    SUM,
    YES,
    JotContext,
    JotError,
    day_in,
    example,
    number_in,
    value_of,
)
from jobkit.units.slip import either, nearest
from jobkit.units.typed import kinds_told, looks_like_value

_JOB_ID = re.compile(r"[A-Za-z][0-9]{2}-[0-9]+")
_SUMS = frozenset(("money", "unit price"))
_FEWEST = 2
"""So many letters make the beginning of a choice: fewer may be anything."""


class _Given:
    """The keys given so far, and the words still to be placed."""

    def __init__(self, jot: Jot, keys: Sequence[Key], known: JotContext) -> None:
        self.jot = jot
        self.keys = {key.name: key for key in keys if not jot.only or key.name in jot.only}
        self.known = known
        self.values: dict[str, Any] = {}
        self.bare: list[str] = []

    def set(self, key: Key, word: str) -> None:
        value, there = value_of(key, word, self.known), self.values.get(key.name)
        if isinstance(value, list) and isinstance(there, list):
            value = [*there, *value]
        elif isinstance(value, dict) and isinstance(there, dict) and not value.keys() & there.keys():
            value = {**there, **value}
        elif there is not None:
            as_what = f", as {there} and as {value}" if key.form == "number" else ""
            raise JotError(f"{key.name} is given twice{as_what}", _once(key))
        self.values[key.name] = value

    def key_named(self, word: str) -> Key | None:
        """Find the key that a word names; a name that the first bare word may be is that, as in `message client`."""
        first = next(iter(self.jot.words), "")
        if first not in self.values and word in self.known.names.get(first, ()):
            return None
        return self.keys.get(word.replace("-", "_"))


def _once(key: Key) -> str:
    if key.form == "numbers":
        return "give one number, or one for each name, as in memory=1.5,stages=2"
    return "give each name once" if key.form == "pairs" else "give it once"


def entry_of(
    jot: Jot,
    keys: Sequence[Key],
    words: Sequence[str],
    options: Mapping[str, Sequence[str]],
    known: JotContext,
) -> dict[str, Any]:
    """Make an entry of words and options; raises MisuseError where they make none.

    What is missing is not looked for here: the schema says it better. Only a word in place of a sum is named here.
    """
    given = _Given(jot, keys, known)
    todo = _with_currencies(given, words)
    while todo:
        word = todo.pop(0)
        key = given.key_named(word)
        if key is None:
            _place(given, word)
        elif key.form == "flag" and (not todo or todo[0].casefold() not in (*YES, *NO)):
            given.values[key.name] = True
        elif not todo:
            raise JotError(f"{key.name} has no value", example(key))
        else:
            given.set(key, todo.pop(0))
    for name, texts in options.items():
        for text in texts:
            given.set(given.keys[name], text)
    _check_sum(given)
    return {key: given.values[key] for key in given.keys if key in given.values}


def dates_of(keys: Sequence[Key], words: Sequence[str], known: JotContext) -> dict[str, date]:
    """Make days of words such as "agreed sent 2026-10-26": a day behind its name, today if none. Raises MisuseError."""
    names = [key.name for key in keys if key.form == "day"]
    days: dict[str, date] = {}
    todo = list(words)
    while todo:
        name = named(todo.pop(0), names, "date of a job")
        is_day = bool(todo) and (todo[0][:1].isdigit() or todo[0].casefold() in {"today", "yesterday"})
        days[name] = _day_typed(name, todo.pop(0), known) if is_day else known.now.date()
    if not days:
        raise JotError("date needs a name", f"name one of {', '.join(names)}")
    return days


_FOR_SUMS = {"quoted": "price quoted", "agreed": "agreement", "paid": "payment"}
"""What writes down the sum that may be meant behind the name of a day."""


def _day_typed(name: str, word: str, known: JotContext) -> date:
    """Read the day behind its name; where it looks like a sum, say how to write a sum."""
    try:
        return day_in(word, known)
    except JotError as error:
        if name in _FOR_SUMS and SUM.fullmatch(word):
            mend = f"for a sum of money use `jobkit jot {_FOR_SUMS[name]} {word}`"
            raise JotError(f'"{word}" is not a day', mend) from error
        raise


def _with_currencies(given: _Given, words: Sequence[str]) -> list[str]:
    """Join a currency to the number before it, as in `payment 50 EUR`, where the entry has a sum of money."""
    whole: list[str] = []
    has_sum = any(key.form in _SUMS for key in given.keys.values())
    for word in words:
        is_currency = word in MINOR_UNITS or word.upper() == given.known.currency
        number = SUM.fullmatch(whole[-1]) if has_sum and whole and is_currency else None
        if number and not number[2]:
            whole[-1] = f"{whole[-1]} {word.upper()}"
        else:
            whole.append(word)
    return whole


def _check_sum(given: _Given) -> None:
    """Name the bare word that is in place of the sum that the entry must have; raises JotError."""
    key = given.keys.get(next(iter(given.jot.words), ""))
    if key and key.form in _SUMS and key.required and key.name not in given.values and given.bare:
        raise JotError(f'{key.name} cannot be "{given.bare[0]}"', example(key))


def _place(given: _Given, word: str) -> None:
    given.bare.append(word)
    for name in given.jot.words:
        key = given.keys[name]
        if name not in given.values and _can_hold(key, word, given.known):
            given.set(key, word)
            return
        if key.choices and key.required and name not in given.values and name == given.jot.words[0]:
            given.set(key, word)  # raises: without it the entry says nothing
    _check_sum(given)
    mend = renamed(word.casefold(), KEYS, given.keys)
    slip, near = ("", "") if mend else _mistyped_before(given)
    raise JotError(
        f'"{slip or word}" does not fit in {given.jot.name}',
        mend or (f'write "{near}"' if slip else _mend(given, word)),
    )


def _mistyped_before(given: _Given) -> tuple[str, str]:
    """Find an earlier bare word that is nearly the name of a key not given yet; both are "" where there is none.

    Such a word was taken as free text, so that the error shows only at the word behind it.
    """
    open_keys = tuple(name for name in given.keys if name not in given.values)
    for word in given.bare[:-1]:
        key = nearest(word.casefold(), open_keys)
        if key and given.values.get("what") == word:
            return word, key
    return "", ""


def _mend(given: _Given, word: str) -> str:
    choices = [
        key for name in given.jot.words if (key := given.keys[name]).choices and name not in given.values
    ]
    near = nearest(word.casefold(), tuple(given.keys)) or next(
        (close for key in choices if (close := nearest(word.casefold(), key.choices))), None
    )
    if near:
        return f'write "{near}"'
    if choices and (choices[0].required or len(given.jot.words) == 1):
        return f"{choices[0].name} is {either(choices[0].choices)}"
    return f"put the name of its key before it: {either(tuple(given.keys))}"


def _can_hold(key: Key, word: str, known: JotContext) -> bool:
    """Tell whether a bare word can be meant for a key."""
    if key.name in {"part", "rail"}:
        return bool(DESIGNATOR.fullmatch(word)) or _is_named(word, known.names.get(key.name, ()))
    if key.name == "hours":  # a bare number is minutes
        return number_in(word) is not None and word.endswith("h")
    if key.name == "what":  # one letter is a name that was not finished
        return len(word) > 1
    if key.name in {"qty", "quantity"}:  # a number with a point is a price
        return word.isdigit()
    if key.name == "from" and key.form == "text":
        return _JOB_ID.fullmatch(word) is not None or _is_named(word, known.names.get(key.name, ()))
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
    "number": lambda _key, word: number_in(word) is not None,
    "money": lambda _key, word: SUM.fullmatch(word) is not None,
    "unit price": lambda _key, word: SUM.fullmatch(word) is not None,
    "flag": lambda _key, word: word.casefold() in (*YES, *NO),
    "duration": lambda _key, word: word[:1].isdigit() or word[:1].casefold() == "p",
    "job": lambda _key, word: word[-1:].isdigit(),
}


def _is_named(word: str, names: Sequence[str]) -> bool:
    try:
        named(word, names, "name")
    except NamingError:
        return False
    return True
