"""Comebacks on a page: the share, the curve, what they have in common, and what a longer warranty would cost."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from jobkit.jobs.money import Money, rounded
from jobkit.pages.blocks import Answer, Block, Line, Table, Title
from jobkit.pages.data import Data, money, number
from jobkit.pages.warranty import LAW
from jobkit.pages.words import FOUND, counted, hours, share
from jobkit.reckon.comebacks import FEW, Case, Group, Study
from jobkit.reckon.longer import Longer, Pace
from jobkit.reckon.proportion import Interval
from jobkit.reckon.survival import BAND, Step, median_stay

_NEXT_TO_NOTHING = 4
"""Below so many events the ends of their Poisson interval lie more than a factor of ten apart."""

_HINT = (
    " It is a hint at best: a client whose warranty is over may go elsewhere, and of old boards those that "
    "came back are the likeliest to be in the book."
)

_GROUP_HEADS = ("boards", "came back", "share", "95 % interval")


def comebacks_page(bench: str, study: Study, longer: Longer | None = None) -> Answer:
    """Show how many boards came back, how soon and what of, and what a longer warranty would add."""
    return Answer(list(_blocks(bench, study, longer)), _data(study, longer), _table(study.cases))


def _blocks(bench: str, study: Study, longer: Longer | None) -> Iterator[Block]:
    yield Title(f"{bench}: comebacks as of {study.on}", 1)
    yield from map(Line, _summary(study))
    if study.by_found:
        yield Table(
            ("what was found", "came back"),
            [(FOUND.get(name, name), str(count)) for name, count in study.by_found.items()],
            right=("came back",),
        )
    yield from _curve(study)
    for head, groups in (
        ("design", study.by_design),
        ("cause", study.by_cause),
        ("kind of work", study.by_work),
    ):
        yield from _groups(head, groups)
    if longer:
        yield Title(f"A warranty of {longer.runs.words()}")
        yield from map(Line, _longer(longer))
    yield Line(LAW)


def _summary(study: Study) -> Iterator[str]:
    boards, back = len(study.cases), study.comebacks
    if not boards:
        yield "No repaired board has left with a warranty yet, so nothing can be said."
    else:
        yield (
            f"{back} of {counted(boards, 'repaired board')} came back under warranty, {share(back / boards)}; "
            f"with 95 % confidence the true share lies between {_interval(study.interval)} (Wilson)."
        )
        if back < FEW:
            yield (
                f"That is little to go by: with fewer than {FEW} comebacks a figure says more of luck than of the "
                "bench. Read the intervals, not the figures."
            )
        if study.still_watched:
            yield (
                f"{counted(study.still_watched, 'board')} of them may yet come back under warranty: the share counts "
                "these as staying away, the curve does not."
            )
    if study.late:
        late = ", ".join(f"{one.id} (of {one.comeback_of})" for one in study.late)
        yield f"Back after the warranty had ended, and not counted above: {late}."
    if study.contradicting:
        odd = ", ".join(one.id for one in study.contradicting)
        yield f"Left out, because they came in before the job they name was sent: {odd}. Mend the dates."


def _curve(study: Study) -> Iterator[Block]:
    if not study.curve:
        return
    yield Title("How long they stay away")
    yield Table(
        ("day", "boards watched", "came back", "still away", "95 % band"),
        [_step_row(step) for step in study.curve],
        right=("day", "boards watched", "came back", "still away"),
    )
    middle = median_stay(study.curve)
    half = f"Half were back by day {middle}. " if middle is not None else ""
    yield Line(
        f"{half}Kaplan-Meier, days since leaving; each board is watched until its warranty ends or until {study.on}. "
        f"Band: {BAND}."
    )


def _step_row(step: Step) -> tuple[str, ...]:
    band = (
        f"{share(step.low)} to {share(step.high)}" if step.low is not None and step.high is not None else ""
    )
    return str(step.day), str(step.at_risk), str(step.comebacks), share(float(step.survival)), band


def _groups(head: str, groups: Sequence[Group]) -> Iterator[Block]:
    hit = [group for group in groups if group.comebacks]
    if not hit:
        return
    yield Title(f"By {head}")
    yield Table((head, *_GROUP_HEADS), [_group_row(group) for group in hit], right=_GROUP_HEADS[:3])
    rest = [group for group in groups if not group.comebacks]
    if rest:
        boards = counted(sum(group.jobs for group in rest), "board")
        yield Line(f"None came back of {counted(len(rest), f'other {head}', _plural(head))} ({boards}).")
    if head == "kind of work":
        yield Line("A board counts under each kind of work done on it; inspecting and cleaning are left out.")


def _plural(head: str) -> str:
    return "other kinds of work" if head == "kind of work" else f"other {head}s"


def _group_row(group: Group) -> tuple[str, ...]:
    return (
        group.name,
        str(group.jobs),
        str(group.comebacks),
        share(group.comebacks / group.jobs),
        _interval(group.interval, " to "),
    )


def _longer(longer: Longer) -> Iterator[str]:
    if not longer.days_added:
        yield "That covers no board for a day longer than now."
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
        yield "No board has been watched past its warranty yet, so nothing is known of that time itself."
    yield _cost(longer)
    yield (
        "New faults and misuse are not counted: the client pays for those. Most boards that come back do so early, so "
        "the first of these figures is rather too high."
    )


def _expected(pace: Pace, each: Money | None) -> str:
    """Say how many are to be expected and what that costs; of very few seen, the ends of the interval alone."""
    seen = f"{counted(pace.comebacks, 'comeback')} in {pace.days} board-days"
    low, middle, high = _costs(pace, each) if each else ("", "", "")
    if pace.comebacks < _NEXT_TO_NOTHING:
        money_ = f", that is {low} to {high}" if each else ""
        return (
            f"anything from {pace.low:.1f} to {pace.high:.1f} more comebacks (95 %){money_}; seen were {seen}, which "
            "tells next to nothing"
        )
    text = f"{float(pace.expected):.1f} more comebacks (95 %: {pace.low:.1f} to {pace.high:.1f}; seen were {seen})"
    return f"{text}, that is {middle} (95 %: {low} to {high})" if each else text


def _costs(pace: Pace, each: Money) -> tuple[Money, Money, Money]:
    amounts = (Fraction(pace.low), pace.expected, Fraction(pace.high))
    low, middle, high = (rounded(Fraction(each.amount) * count, each.currency) for count in amounts)
    return low, middle, high


def _cost(longer: Longer) -> str:
    cost = longer.cost
    if not cost.jobs:
        return "No comeback has been finished yet, so what one costs is not known."
    took = f"{counted(cost.jobs, 'finished comeback')} took {hours(cost.minutes)} of bench time"
    if cost.each is None:
        return f"{took}; bench.toml names no rate for an hour, so no sum is given."
    foreign = f", without {counted(cost.foreign, 'part')} paid in another currency" if cost.foreign else ""
    return f"{took}; with parts one cost {cost.each} on average, without postage and lost time{foreign}."


def _interval(interval: Interval, joint: str = " and ") -> str:
    return f"{share(interval.low)}{joint}{share(interval.high)}"


def _table(cases: Sequence[Case]) -> Table:
    heads = (
        "job",
        "design",
        "cause",
        "left",
        "covered until",
        "came back as",
        "received",
        "found",
        "days watched",
    )
    return Table(heads, [_case_row(case) for case in cases], right=("days watched",))


def _case_row(case: Case) -> tuple[str, ...]:
    one, back = case.facts, case.back
    return (
        one.id,
        one.design,
        one.cause_fault or one.cause_part,
        str(case.left),
        str(case.end),
        back.id if back else "",
        back.received if back else "",
        back.comeback_found if back else "",
        str(case.stay.days),
    )


def _data(study: Study, longer: Longer | None) -> Data:
    boards, back = len(study.cases), study.comebacks
    return {
        "on": str(study.on),
        "jobs": boards,
        "comebacks": back,
        "rate": back / boards if boards else None,
        "interval": study.interval._asdict() if boards else None,
        "still_watched": study.still_watched,
        "few": back < FEW,
        "by_found": dict(study.by_found),
        "curve": [_step_data(step) for step in study.curve],
        "median_days": median_stay(study.curve),
        "by_design": _group_data(study.by_design),
        "by_cause": _group_data(study.by_cause),
        "by_work": _group_data(study.by_work),
        "late": [one.id for one in study.late],
        "contradicting": [one.id for one in study.contradicting],
        "longer": _longer_data(longer) if longer else None,
    }


def _step_data(step: Step) -> Data:
    return {**step._asdict(), "survival": float(step.survival)}


def _group_data(groups: Sequence[Group]) -> list[Data]:
    return [{**group._asdict(), "interval": group.interval._asdict()} for group in groups]


def _longer_data(longer: Longer) -> Data:
    cost = longer.cost
    return {
        "runs": str(longer.runs),
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
