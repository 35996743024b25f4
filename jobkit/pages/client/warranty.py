"""One job's warranty in a sentence, with the rule behind it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from jobkit.jobs.facts import Facts
from jobkit.pages.blocks import Answer, Block, Line
from jobkit.pages.forms.data import Data
from jobkit.reckon.warranty.cover import (
    CONTINUES,
    COVERED,
    ENDED,
    NONE,
    NOT_BEGUN,
    NOT_HERE,
    OUTLASTS,
    OWN_TERMS,
    RESTARTS,
    RESTARTS_LATER,
    VOID,
    Cover,
)

LAW = "Local law may give you more than this paper. This is not legal advice."

COUNTED = {"sent": "it was sent", "collected": "it was collected", "finished": "it was finished"}
"""The day a warranty is counted from, in words."""

_LINKS = {
    "": "",
    CONTINUES: "a comeback continues the warranty before it",
    RESTARTS: "a comeback restarts the warranty",
    RESTARTS_LATER: "a comeback restarts the warranty, once this job has a day to count from",
    OWN_TERMS: "the job has a [warranty] of its own, and what is written in the job wins",
    OUTLASTS: "a restart would end sooner than what was promised first, so the first promise applies",
    "nothing before": "the job before gave no warranty that could continue",
    "not sent before": "the job before had not been sent when this one came in: check the dates",
    "not begun before": "the warranty of the job before had not begun",
    "new-fault": "a new fault is a repair of its own",
    "misuse": "a repair after misuse is one of its own",
    "void before": "the warranty of the job before is void",
    "ended before": "it came back after the warranty of the job before had ended",
}


_LACKS = {
    "time": "the job has its own terms: P0D, no warranty",
    "repair": "the bench gives a warranty on repairs only, and the job has no terms of its own",
    "errors": "the file of the job has errors, so its warranty is not known",
    "habit": "neither the job nor bench.toml gives a duration",
}


def warranty_page(cover: Cover, later: Sequence[Facts] = ()) -> Answer:
    """Say whether a job is covered, until when, on what, by which rule; `later` are its comebacks."""
    return Answer(list(_blocks(cover, later)), _data(cover, later))


def _blocks(cover: Cover, later: Sequence[Facts]) -> Sequence[Block]:
    lines = [f"{_answer(cover)}.", f"Rule: {rule(cover)}."]
    if cover.still:
        lines.append(
            f"The earlier warranty, of {cover.still[0]}, continues separately until {cover.still[1]}."
        )
    if len(cover.chain) > 1:
        lines.append(f"Chain: {', then '.join(cover.chain)}.")
    lines += [_broken(cover)] if cover.broken else []
    lines += [
        f"It came back as {one.id}, received {one.received}; see the warranty of that job too."
        for one in later
    ]
    return [Line(line) for line in (*lines, LAW)]


def _answer(cover: Cover) -> str:
    is_it = "is covered" if cover.covered else "is not covered"
    return f"{cover.job} {is_it} on {cover.on}: {_BECAUSE[cover.state](cover)}"


def _because_covered(cover: Cover) -> str:
    what = f"{cover.scope}, " if cover.scope else ""
    left = cover.days_left or 0
    return f"{what}until {cover.last_day}, that day included ({_days(left)} left)"


def _because_ended(cover: Cover) -> str:
    return f"its warranty ended on {cover.last_day}, {_days(-(cover.days_left or 0))} before"


def _because_void(cover: Cover) -> str:
    since = f" since {cover.void_on}" if cover.void_on else ""
    return f"its warranty is void{since} ({cover.void})"


def _because_not_begun(cover: Cover) -> str:
    duration = cover.duration.words() if cover.duration else "its time"
    start = COUNTED[cover.counted_from]
    return f"its warranty of {duration} is counted from the day {start}, and that date is not entered"


_BECAUSE: dict[str, Callable[[Cover], str]] = {
    COVERED: _because_covered,
    ENDED: _because_ended,
    VOID: _because_void,
    NOT_BEGUN: _because_not_begun,
    NONE: lambda _cover: "it has no warranty",
    NOT_HERE: lambda _cover: "it was not received by then",
}


def rule(cover: Cover) -> str:
    """Say by which rule a warranty is counted."""
    if cover.state == NOT_HERE:
        return "what is dated later than the day asked about is not known yet"
    return "; ".join(filter(None, (_counted(cover), _LINKS[cover.link])))


def _counted(cover: Cover) -> str:
    if cover.duration is None:
        return _LACKS[cover.lacks]
    whose = f"{'the job' if cover.source == cover.job else 'that job'}'s own terms"
    whose = whose if cover.own_terms else "bench.toml"
    which = f" as {cover.source}" if cover.source != cover.job else ""
    day = f" ({cover.first_day})" if cover.first_day else ""
    start = f"{COUNTED[cover.counted_from]}{which}{day}"
    return f"{cover.duration.words()} from the day {start}, last day included, by {whose}"


def _broken(cover: Cover) -> str:
    if cover.broken == "loop":
        return "The comebacks name each other in a circle, so this job is counted alone: fix comeback.of."
    return f"The chain ends early: {cover.broken} is not in this book."


def _days(count: int) -> str:
    return f"{count} day{'' if count == 1 else 's'}"


def _data(cover: Cover, later: Sequence[Facts]) -> Data:
    return {
        "job": cover.job,
        "on": str(cover.on),
        "covered": cover.covered,
        "state": cover.state,
        "first_day": str(cover.first_day) if cover.first_day else None,
        "last_day": str(cover.last_day) if cover.last_day else None,
        "days_left": cover.days_left,
        "scope": cover.scope or None,
        "void": cover.void or None,
        "void_on": str(cover.void_on) if cover.void_on else None,
        "duration": str(cover.duration) if cover.duration else None,
        "from": cover.counted_from,
        "chain": list(cover.chain),
        "earlier_until": str(cover.still[1]) if cover.still else None,
        "came_back_as": [one.id for one in later],
        "rule": rule(cover),
    }
