"""A plan for some hours at the bench, on the page of the queue."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from jobkit.pages.blocks import Block, Line, Table, Title
from jobkit.pages.forms.data import Data, number
from jobkit.pages.words import counted
from jobkit.reckon.progress.flow import age_days
from jobkit.reckon.progress.plan import Plan, Planned


def plan_blocks(plan: Plan, on: date) -> Iterator[Block]:
    """Show when to do what, and why then."""
    yield Title(f"Plan for {_clock(plan.minutes)} h")
    if not plan.planned:
        yield Line("No step fits into this time.")
        return
    rows = [
        (f"{_clock(one.start)} - {_clock(one.end)}", one.facts.id, one.step.step, _why(one, on))
        for one in plan.planned
    ]
    yield Table(("time", "job", "step", "why now"), rows)
    if any(one.is_assumed for one in plan.planned):
        yield Line("(about): the time is assumed, because the bench has not recorded such work often enough.")
    if plan.left:
        yield Line(f"For another day: {', '.join(facts.id for facts in plan.left)}.")


def plan_data(plan: Plan | None, on: date) -> Data | None:
    """Give the plan as data; None where none was asked for."""
    if plan is None:
        return None
    steps = [
        {
            "job": one.facts.id,
            "step": one.step.step,
            "start": number(one.start),
            "end": number(one.end),
            "alone": one.step.alone,
            "assumed": one.is_assumed,
            "why": _why(one, on),
        }
        for one in plan.planned
    ]
    return {"minutes": number(plan.minutes), "steps": steps, "left": [facts.id for facts in plan.left]}


def _clock(minutes: Decimal) -> str:
    """Write minutes as hours and minutes.

    >>> _clock(Decimal(95))
    '1:35'
    """
    whole = int(minutes)
    return f"{whole // 60}:{whole % 60:02}"


def _why(one: Planned, on: date) -> str:
    reasons = [*_urgency(one, on)]
    if one.step.alone:
        reasons.insert(0, "runs unattended, so start it first")
    if one.follows:
        reasons.append("the board is free or cold again")
    return f"{', '.join(reasons)}{' (about)' if one.is_assumed else ''}"


def _urgency(one: Planned, on: date) -> Iterator[str]:
    promised = one.facts.promised
    if promised:
        late = (on - date.fromisoformat(promised)).days
        yield f"promised {promised}, {counted(late, 'day')} late" if late > 0 else f"promised {promised}"
        return
    age = age_days(one.facts, on)
    if age is not None:
        yield f"here for {counted(age, 'day')}"
