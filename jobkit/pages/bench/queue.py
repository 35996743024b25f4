"""What to work on next, on a page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from jobkit.pages.blocks import Answer, Block, Line, Table, Title, filled
from jobkit.pages.forms.data import Data, number
from jobkit.reckon.progress.flow import age_days
from jobkit.reckon.progress.queue import NextStep


def queue_page(bench: str, steps: Sequence[NextStep], on: date) -> Answer:
    """Show the open jobs in the order to work on them."""
    table = Table(
        ("job", "promised", "days", "min", "next step", "title"),
        [_row(one, on) for one in steps if not one.waits_for],
        right=("days", "min"),
    )
    return Answer(
        list(_blocks(bench, table, steps, on)),
        {"on": str(on), "jobs": [_data(one, on) for one in steps]},
        table,
    )


def _blocks(bench: str, table: Table, steps: Sequence[NextStep], on: date) -> Iterator[Block]:
    yield Title(f"{bench}: what to work on next, {on}", 1)
    yield filled(table) if table.rows else Line("No job can go on now.")
    alone = [one for one in steps if one.alone and not one.waits_for]
    if alone:
        yield Line(
            f"Can run unattended meanwhile: {'; '.join(f'{one.facts.id} {one.step}' for one in alone)}."
        )
    waiting = [one for one in steps if one.waits_for]
    if waiting:
        yield Title("Waiting")
        yield Table(
            ("job", "days", "waiting for", "title"),
            [(one.facts.id, _days(one, on), one.waits_for, one.facts.title) for one in waiting],
            right=("days",),
        )


def _row(one: NextStep, on: date) -> tuple[str, ...]:
    facts = one.facts
    return facts.id, facts.promised, _days(one, on), str(one.minutes or ""), one.step, facts.title


def _days(one: NextStep, on: date) -> str:
    age = age_days(one.facts, on)
    return "" if age is None else str(age)


def _data(one: NextStep, on: date) -> Data:
    return {
        "id": one.facts.id,
        "title": one.facts.title,
        "status": one.status.word,
        "promised": one.facts.promised or None,
        "age_days": age_days(one.facts, on),
        "step": one.step,
        "minutes": None if one.minutes is None else number(one.minutes),
        "alone": one.alone,
        "waits_for": one.waits_for or None,
    }
