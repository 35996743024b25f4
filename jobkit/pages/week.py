"""The weekly bench summary on a page."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from jobkit.jobs.facts import Facts
from jobkit.jobs.money import Money
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Table, Title
from jobkit.pages.data import Data, number
from jobkit.pages.words import hours
from jobkit.reckon.flow import age_days
from jobkit.reckon.week_summary import WeekSummary


def week_page(bench: str, summary: WeekSummary) -> Answer:
    """Show a week: what moved, what is still here, what it took."""
    return Answer(list(_blocks(bench, summary)), _data(summary))


def _blocks(bench: str, summary: WeekSummary) -> Sequence[Block]:
    moved: list[Block] = [Table(("this week", "jobs", "which"), _moves(summary), right=("jobs",))]
    took = Pairs(
        [
            ("bench time", hours(summary.minutes)),
            ("charged", sums(summary.charged) or "nothing"),
            ("turnaround", _turnaround(summary)),
        ]
    )
    return [
        Title(f"{bench}: week {summary.week}, {summary.first} to {summary.last}", 1),
        *([Line(f"As of {summary.as_of}.")] if summary.as_of < summary.last else []),
        *moved,
        took,
        Title("Still here"),
        _still_here(summary) if summary.open else Line("No board is waiting for anything."),
    ]


def _moves(summary: WeekSummary) -> list[tuple[str, str, str]]:
    moves = {
        "received": summary.received,
        "finished": summary.finished,
        "sent": summary.sent,
        "comebacks": summary.comebacks,
    }
    return [(what, str(len(jobs)), ", ".join(one.id for one in jobs)) for what, jobs in moves.items()]


def _still_here(summary: WeekSummary) -> Table:
    rows = [
        (one.id, str(stand), str(age_days(one, summary.as_of) or 0), one.title)
        for one, stand in sorted(summary.open, key=lambda pair: (pair[0].received, pair[0].id))
    ]
    return Table(("job", "status", "days", "title"), rows, right=("days",))


def _turnaround(summary: WeekSummary) -> str:
    flow = summary.turnaround
    if flow.median is None or flow.p90 is None:
        return "no job was sent"
    return f"{_days(flow.median)} in the middle, {_days(flow.p90)} for nine in ten ({flow.n} sent)"


def _days(days: Decimal) -> str:
    return f"{days.normalize():f} {'day' if days == 1 else 'days'}"


def sums(amounts: Sequence[Money]) -> str:
    """Write sums of several currencies side by side, never added up."""
    return " + ".join(map(str, amounts))


def _data(summary: WeekSummary) -> Data:
    flow = summary.turnaround
    return {
        "week": str(summary.week),
        "from": str(summary.first),
        "to": str(summary.last),
        "as_of": str(summary.as_of),
        "received": _ids(summary.received),
        "finished": _ids(summary.finished),
        "sent": _ids(summary.sent),
        "comebacks": _ids(summary.comebacks),
        "on_the_bench": summary.on_the_bench,
        "open": [
            {"id": one.id, "status": stand.word, "waiting": stand.waiting or None}
            for one, stand in summary.open
        ],
        "hours": number((summary.minutes / 60).quantize(Decimal("0.01"))),
        "charged": sums(summary.charged) or None,
        "turnaround_days": {
            "n": flow.n,
            "median": None if flow.median is None else number(flow.median),
            "p90": None if flow.p90 is None else number(flow.p90),
        },
    }


def _ids(facts: Sequence[Facts]) -> list[str]:
    return [one.id for one in facts]
