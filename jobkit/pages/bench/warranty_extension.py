"""What a longer warranty would cost, in words and as data, with how little is known where few boards came back."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from jobkit.jobs.money import Money, rounded
from jobkit.pages.forms.data import Data, money, number
from jobkit.pages.words import counted, hours
from jobkit.reckon.warranty.extension import Longer, Pace

_NEXT_TO_NOTHING = 4
"""Below so many events the ends of their Poisson interval lie more than a factor of ten apart."""

_HINT = (
    " Take this as a hint only: a client whose warranty is over may go to another bench, and an old board is in the "
    "book mostly because it came back."
)


def longer_words(longer: Longer) -> Iterator[str]:
    """Say how much longer boards would be covered, how many comebacks that lets expect, and what those cost."""
    if not longer.days_added:
        yield "No board would be covered longer than now."
        return
    yield (
        f"It would cover the {counted(longer.boards, 'board')} counted here for {longer.days_added} days more in all, "
        f"{longer.days_added // longer.boards} days each on average."
    )
    paces = (
        ("If comebacks went on as under warranty", longer.within, ""),
        (
            "If they came as they are known to come after it",
            longer.after,
            _HINT,
        ),
    )
    for begin, pace, caution in paces:
        if pace:
            yield f"{begin}: {_expected(pace, longer.cost.each)}.{caution}"
    if longer.after is None:
        yield "No board has been watched past its warranty yet, so there is no figure for that time."
    yield _cost(longer)
    yield (
        "New faults and misuse are not counted: the client pays for those. Most comebacks are early, so the first "
        "of these figures is probably too high."
    )


def _expected(pace: Pace, each: Money | None) -> str:
    """Say how many are to be expected and what that costs; of very few seen, the ends of the interval alone."""
    was = "was" if pace.comebacks == 1 else "were"
    seen = f"seen {was} {counted(pace.comebacks, 'comeback')} in {pace.days} board-days"
    low, middle, high = _costs(pace, each) if each else ("", "", "")
    if pace.comebacks < _NEXT_TO_NOTHING:
        money_ = f", that is {low} to {high}" if each else ""
        return (
            f"anything from {pace.low:.1f} to {pace.high:.1f} more comebacks (95 %){money_}; {seen}, too few "
            "for an estimate"
        )
    text = f"{float(pace.expected):.1f} more comebacks (95 %: {pace.low:.1f} to {pace.high:.1f}; {seen})"
    return f"{text}, that is {middle} (95 %: {low} to {high})" if each else text


def _costs(pace: Pace, each: Money) -> tuple[Money, Money, Money]:
    amounts = (Fraction(pace.low), pace.expected, Fraction(pace.high))
    low, middle, high = (rounded(Fraction(each.amount) * count, each.currency) for count in amounts)
    return low, middle, high


def _cost(longer: Longer) -> str:
    cost = longer.cost
    if not cost.jobs:
        return "No comeback is finished yet, so the cost of a comeback is not known."
    took = f"{counted(cost.jobs, 'finished comeback')} took {hours(cost.minutes)} of bench time"
    if cost.each is None:
        return f"{took}; bench.toml has no hourly rate, so there is no amount."
    foreign = f", without {counted(cost.foreign, 'part')} paid in another currency" if cost.foreign else ""
    return f"{took}; with parts the average cost was {cost.each}, without postage and lost time{foreign}."


def longer_data(longer: Longer) -> Data:
    """Give the same as data."""
    cost = longer.cost
    return {
        "duration": str(longer.duration),
        "boards": longer.boards,
        "days_added": longer.days_added,
        "within": _pace_data(longer.within, cost.each),
        "after": _pace_data(longer.after, cost.each),
        "cost_each": money(cost.each),
        "cost_jobs": cost.jobs,
        "cost_minutes": number(cost.minutes),
    }


def _pace_data(pace: Pace | None, each: Money | None) -> dict[str, Any] | None:
    if pace is None:
        return None
    cost = dict(zip(("low", "expected", "high"), map(str, _costs(pace, each)), strict=True)) if each else None
    return {**pace._asdict(), "expected": float(pace.expected), "cost": cost}
