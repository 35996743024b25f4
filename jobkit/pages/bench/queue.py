"""What to work on next, on a page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from jobkit.pages.blocks import Answer, Block, Line, Table, Title, filled
from jobkit.pages.forms.data import Data, number
from jobkit.reckon.progress.flow import age_days
from jobkit.reckon.progress.queue import Pick


def next_page(bench: str, picks: Sequence[Pick], on: date) -> Answer:
    """Show the open jobs in the order to work on them."""
    table = Table(
        ("job", "promised", "days", "min", "next step", "title"),
        [_row(pick, on) for pick in picks if not pick.held_up],
        right=("days", "min"),
    )
    return Answer(
        list(_blocks(bench, table, picks, on)),
        {"on": str(on), "jobs": [_data(pick, on) for pick in picks]},
        table,
    )


def _blocks(bench: str, table: Table, picks: Sequence[Pick], on: date) -> Iterator[Block]:
    yield Title(f"{bench}: what to work on next, {on}", 1)
    yield filled(table) if table.rows else Line("No job can go on now.")
    alone = [pick for pick in picks if pick.alone and not pick.held_up]
    if alone:
        yield Line(
            f"Can run unattended meanwhile: {'; '.join(f'{pick.facts.id} {pick.step}' for pick in alone)}."
        )
    held_up = [pick for pick in picks if pick.held_up]
    if held_up:
        yield Title("Waiting")
        yield Table(
            ("job", "days", "waiting for", "title"),
            [(pick.facts.id, _days(pick, on), pick.held_up, pick.facts.title) for pick in held_up],
            right=("days",),
        )


def _row(pick: Pick, on: date) -> tuple[str, ...]:
    facts = pick.facts
    return facts.id, facts.promised, _days(pick, on), str(pick.minutes or ""), pick.step, facts.title


def _days(pick: Pick, on: date) -> str:
    age = age_days(pick.facts, on)
    return "" if age is None else str(age)


def _data(pick: Pick, on: date) -> Data:
    return {
        "id": pick.facts.id,
        "title": pick.facts.title,
        "status": pick.status.word,
        "promised": pick.facts.promised or None,
        "age_days": age_days(pick.facts, on),
        "step": pick.step,
        "minutes": None if pick.minutes is None else number(pick.minutes),
        "alone": pick.alone,
        "held_up": pick.held_up or None,
    }
