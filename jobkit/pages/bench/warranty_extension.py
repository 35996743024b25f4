"""What a longer warranty would cost, in words and as data, with how little is known where few boards came back."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from jobkit.jobs.money import Money, rounded
from jobkit.pages.forms.data import Data, money, number
from jobkit.pages.words import counted, hours
from jobkit.reckon.warranty.extension import ComebackRate, WarrantyExtension

_HINT = (
    " Take this as a hint only: a client whose warranty is over may go to another bench, and an old board is in the "
    "book mostly because it came back."
)


def longer_words(extension: WarrantyExtension) -> Iterator[str]:
    """Say how much longer boards would be covered, how many comebacks that lets expect, and what those cost."""
    if not extension.days_added:
        yield "No board would be covered longer than now."
        return
    boards, days = counted(extension.boards, "board"), extension.days_added
    yield (
        f"It would cover the {boards} counted here for {days} days more in all, "
        f"{days // extension.boards} days each on average."
    )
    if extension.within:
        yield _projected(
            "Under warranty", "If comebacks went on as under warranty", extension.within, extension
        )
    if extension.after:
        begin = "If they came as they are known to come after it"
        yield _projected("After the warranty", begin, extension.after, extension) + (
            "" if extension.after.few else _HINT
        )
    if extension.after is None:
        yield "No board has been watched past its warranty yet, so there is no figure for that time."
    yield _cost(extension)
    early = " Most comebacks are early, so the first of these figures is probably too high."
    projected = extension.within is not None and not extension.within.few
    yield f"New faults and misuse are not counted: the client pays for those.{early if projected else ''}"


def _projected(when: str, begin: str, rate: ComebackRate, extension: WarrantyExtension) -> str:
    """Say how many are to be expected and what that costs; where very few were seen, that they are too few."""
    seen = f"{counted(rate.comebacks, 'comeback')} in {rate.days} board-days"
    if rate.few:
        return f"{when}: {seen}, too few for an estimate."
    text = f"{begin}: {float(rate.expected):.1f} more comebacks (95 %: {rate.low:.1f} to {rate.high:.1f}; seen: {seen})"
    if extension.cost.each is None:
        return f"{text}."
    low, middle, high = _costs(rate, extension.cost.each)
    return f"{text}, that is {middle} (95 %: {low} to {high})."


def _costs(rate: ComebackRate, each: Money) -> tuple[Money, Money, Money]:
    amounts = (Fraction(rate.low), rate.expected, Fraction(rate.high))
    low, middle, high = (rounded(Fraction(each.amount) * count, each.currency) for count in amounts)
    return low, middle, high


def _cost(extension: WarrantyExtension) -> str:
    cost = extension.cost
    if not cost.jobs:
        return "No comeback is finished yet, so the cost of a comeback is not known."
    took = f"{counted(cost.jobs, 'finished comeback')} took {hours(cost.minutes)} of bench time"
    if cost.each is None:
        return f"{took}; bench.toml has no hourly rate, so there is no amount."
    foreign = f", without {counted(cost.foreign, 'part')} paid in another currency" if cost.foreign else ""
    return f"{took}; with parts the average cost was {cost.each}, without postage and lost time{foreign}."


def longer_data(extension: WarrantyExtension) -> Data:
    """Give the same as data."""
    cost = extension.cost
    return {
        "duration": str(extension.duration),
        "boards": extension.boards,
        "days_added": extension.days_added,
        "within": _rate_data(extension.within, cost.each),
        "after": _rate_data(extension.after, cost.each),
        "cost_each": money(cost.each),
        "cost_jobs": cost.jobs,
        "cost_minutes": number(cost.minutes),
    }


def _rate_data(rate: ComebackRate | None, each: Money | None) -> dict[str, Any] | None:
    if rate is None:
        return None
    if rate.few:
        return {**rate._asdict(), "expected": None, "low": None, "high": None, "cost": None}
    cost = dict(zip(("low", "expected", "high"), map(str, _costs(rate, each)), strict=True)) if each else None
    return {**rate._asdict(), "expected": float(rate.expected), "cost": cost}
