"""What to work on next, on a page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from jobkit.pages.bench.plan import plan_blocks, plan_data
from jobkit.pages.blocks import Answer, Block, Line, Table, Title, filled
from jobkit.pages.forms.data import Data, number
from jobkit.reckon.progress.flow import age_days
from jobkit.reckon.progress.plan import Plan
from jobkit.reckon.progress.queue import Queued


def queue_page(bench: str, steps: Sequence[Queued], on: date, plan: Plan | None = None) -> Answer:
    """Show the open jobs in the order to work on them, and a plan where one was asked for."""
    planned = plan_blocks(plan, on) if plan else []
    return Answer(
        [*_blocks(bench, steps, on), *planned],
        {"on": str(on), "jobs": [_data(one, on) for one in steps], "plan": plan_data(plan, on)},
        Table(_HEADS, [_row(one, on) for one in steps], _FIGURES),
    )


_HEADS = ("job", "promised", "days", "min", "next step", "waiting for", "title")
_FIGURES = ("days", "min")


def _blocks(bench: str, steps: Sequence[Queued], on: date) -> Iterator[Block]:
    yield Title(f"{bench}: what to work on next, {on}", 1)
    rows = [_row(one, on) for one in steps if not one.next.waits_for]
    yield filled(Table(_HEADS, rows, _FIGURES)) if rows else Line("No job can go on now.")
    alone = [one for one in steps if one.next.alone and not one.next.waits_for]
    if alone:
        yield Line(
            f"Can run unattended meanwhile: {'; '.join(f'{one.facts.id} {one.next.step}' for one in alone)}."
        )
    waiting = [one for one in steps if one.next.waits_for]
    if waiting:
        yield Title("Waiting")
        yield Table(
            ("job", "days", "waiting for", "title"),
            [(one.facts.id, _days(one, on), one.next.waits_for, one.facts.title) for one in waiting],
            right=("days",),
        )


def _row(one: Queued, on: date) -> tuple[str, ...]:
    facts, step = one.facts, one.next
    minutes = str(step.minutes or "")
    return facts.id, facts.promised, _days(one, on), minutes, step.step, step.waits_for, facts.title


def _days(one: Queued, on: date) -> str:
    age = age_days(one.facts, on)
    return "" if age is None else str(age)


def _data(one: Queued, on: date) -> Data:
    return {
        "id": one.facts.id,
        "title": one.facts.title,
        "status": one.status.word,
        "promised": one.facts.promised or None,
        "age_days": age_days(one.facts, on),
        "step": one.next.step,
        "minutes": None if one.next.minutes is None else number(one.next.minutes),
        "alone": one.next.alone,
        "waits_for": one.next.waits_for or None,
    }
