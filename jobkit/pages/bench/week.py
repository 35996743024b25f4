"""The weekly bench summary on a page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from jobkit.jobs.facts import Facts
from jobkit.jobs.money import Money
from jobkit.pages.bench.week_course import course_blocks, course_data, due_data, due_table
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Table, Title
from jobkit.pages.forms.data import Data, number
from jobkit.pages.words import FOUND, hours
from jobkit.reckon.progress.due import Due
from jobkit.reckon.progress.flow import AGES, InProgress, Throughput, age_days
from jobkit.reckon.progress.status import Status
from jobkit.reckon.progress.week import WeekSummary
from jobkit.reckon.statistics.quantile import USUAL_TYPE

_OLDEST = 5


def week_page(bench: str, summary: WeekSummary, ahead: Sequence[Due] = ()) -> Answer:
    """Show a week: what moved, time and money, the weeks before, the open jobs, and what falls due by the next week."""
    data = {**_data(summary), "weeks": course_data(summary.course), "due": [due_data(item) for item in ahead]}
    return Answer(list(_blocks(bench, summary, ahead)), data, _rows(summary, data))


def _blocks(bench: str, summary: WeekSummary, ahead: Sequence[Due]) -> Iterator[Block]:
    yield Title(f"{bench}: week {summary.week}, {summary.first} to {summary.last}", 1)
    if summary.as_of < summary.last:
        yield Line(f"As of {summary.as_of}; the week is not complete.")
    yield _moves(summary)
    yield Pairs(_took(summary))
    yield from course_blocks(summary.course)
    if summary.debts:
        yield Title("Unpaid")
        yield _debts(summary)
    yield Title("Open jobs")
    if summary.open:
        yield _by_status(summary.in_progress)
        yield Title(f"The oldest {min(_OLDEST, len(summary.open))}")
        yield _oldest(summary)
    else:
        yield Line("No open jobs.")
    if ahead:
        yield Title("Due by the end of next week")
        yield due_table(ahead)


def _debts(summary: WeekSummary) -> Table:
    rows = [
        (each.job.id, str(each.owed), str(each.due), _late(each.days_late(summary.as_of)), each.job.title)
        for each in summary.debts
    ]
    heads = ("job", "balance due", "due on", "days late", "title")
    return Table(heads, rows, right=("balance due", "days late"))


def _late(days: int) -> str:
    return str(days) if days > 0 else ""


def _moves(summary: WeekSummary) -> Table:
    moves = {
        "received": summary.received,
        "finished": summary.finished,
        "sent": summary.sent,
        "comebacks": summary.comebacks,
    }
    weeks = summary.throughput["received"].weeks
    usual = f"{weeks}-week median" if weeks else "median"
    rows = [
        (what, *_counts(summary.throughput[what]), ", ".join(one.id for one in jobs))
        for what, jobs in moves.items()
    ]
    heads = ("boards", "this week", "last week", usual)
    return Table((*heads, "jobs"), rows, right=heads[1:])


def _counts(flow: Throughput) -> tuple[str, str, str]:
    if flow.median is None:
        return str(flow.this), "", ""
    return str(flow.this), str(flow.last), _plain(flow.median)


def _took(summary: WeekSummary) -> list[tuple[str, str]]:
    return [
        ("bench time", hours(summary.minutes)),
        ("charged", sums(summary.charged) or "nothing"),
        ("not included", "; ".join(f"{job}: {why}" for job, why in summary.left_out)),
        ("unpaid, with tax", sums(summary.unpaid)),
        ("to give back", "; ".join(f"{each.job.id} {each.amount}" for each in summary.give_back)),
        ("turnaround", _turnaround(summary)),
        ("causes", "; ".join(_times(cause, count) for cause, count in summary.causes)),
        ("on the way", "; ".join(map(_on_the_way, summary.on_the_way))),
        ("comebacks", "; ".join(map(_comeback, summary.comebacks))),
        ("failed proof", "; ".join(f"{failure.job}: {failure.what}" for failure in summary.failures)),
    ]


def _on_the_way(one: Facts) -> str:
    held_up = next((wait.what for wait in one.waits if wait.what and not wait.until), "")
    return f"{one.id} since {one.announced}" + (f", {held_up}" if held_up else "")


def _times(what: str, count: int) -> str:
    return what if count == 1 else f"{what} ({count})"


def _comeback(one: Facts) -> str:
    found = FOUND.get(one.comeback_found, "cause not known yet")
    return f"{one.id} of {one.comeback_of}, {found}"


def _turnaround(summary: WeekSummary) -> str:
    flow = summary.turnaround
    if flow.median is None or flow.p90 is None:
        return "no board was sent"
    return (
        f"median {_days(flow.median)}, 90th percentile {_days(flow.p90)}, from receipt to sending "
        f"({flow.n} sent; quantiles of type {USUAL_TYPE})"
    )


def _days(days: Decimal) -> str:
    return f"{_plain(days)} {'day' if days == 1 else 'days'}"


def _plain(value: Decimal) -> str:
    return f"{value.normalize():f}"


def _by_status(stock: Sequence[InProgress]) -> Table:
    heads = ("boards", "waiting", *(f"≤{age} d" for age in AGES), f">{AGES[-1]} d", "oldest")
    return Table(("status", *heads), [_status_row(each) for each in stock], right=heads)


def _status_row(each: InProgress) -> tuple[str, ...]:
    counts = (each.jobs, each.waiting, *each.ages)
    return each.status, *(str(count) if count else "" for count in counts), f"{each.oldest} d"


def _oldest(summary: WeekSummary) -> Table:
    rows = [
        (one.id, str(stand), str(age_days(one, summary.as_of) or 0), one.title)
        for one, stand in summary.open[:_OLDEST]
    ]
    return Table(("job", "status", "days", "title"), rows, right=("days",))


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
        "throughput": {what: _flow_data(each) for what, each in summary.throughput.items()},
        "on_the_bench": summary.on_the_bench,
        "on_the_way": _ids(summary.on_the_way),
        "open": [_open_data(one, stand, summary) for one, stand in summary.open],
        "in_progress": [_progress_data(each) for each in summary.in_progress],
        "hours": number((summary.minutes / 60).quantize(Decimal("0.01"))),
        "charged": sums(summary.charged) or None,
        "unpaid": sums(summary.unpaid) or None,
        "debts": [
            {
                "job": each.job.id,
                "owed": str(each.owed),
                "due": str(each.due),
                "days_late": each.days_late(summary.as_of),
            }
            for each in summary.debts
        ],
        "give_back": [{"job": each.job.id, "amount": str(each.amount)} for each in summary.give_back],
        "left_out": [{"job": job, "why": why} for job, why in summary.left_out],
        "turnaround_days": {
            "n": flow.n,
            "median": None if flow.median is None else number(flow.median),
            "p90": None if flow.p90 is None else number(flow.p90),
            "quantile_type": USUAL_TYPE,
        },
        "causes": dict(summary.causes),
        "failures": [failure._asdict() for failure in summary.failures],
    }


def _flow_data(flow: Throughput) -> Data:
    return {**flow._asdict(), "median": None if flow.median is None else number(flow.median)}


def _open_data(one: Facts, stand: Status, summary: WeekSummary) -> Data:
    age = age_days(one, summary.as_of)
    return {"id": one.id, "status": stand.word, "waiting": stand.waiting or None, "age_days": age}


def _progress_data(each: InProgress) -> Data:
    ages = dict(zip((*(f"to_{age}" for age in AGES), "over"), each.ages, strict=True))
    return {**each._asdict(), "ages": ages}


def _rows(summary: WeekSummary, data: Data) -> Table:
    """Put the week into one row, so that weeks can be put below each other; each further currency gets its own row.

    Those further rows hold money alone, so that a sum over weeks counts each board once.
    """
    flow = data["turnaround_days"]
    span = {"week": data["week"], "first_day": data["from"], "last_day": data["to"], "as_of": data["as_of"]}
    counts = {
        **{key: len(data[key]) for key in ("received", "finished", "sent", "comebacks")},
        **{key: data[key] for key in ("on_the_bench", "hours")},
        "turnaround_median_days": flow["median"],
        "turnaround_p90_days": flow["p90"],
        "failures": len(data["failures"]),
    }
    currencies = list(dict.fromkeys(each.currency for each in (*summary.charged, *summary.unpaid)))
    rows = [
        (*span.values(), *(counts.values() if first else [None] * len(counts)), *_amounts(summary, currency))
        for first, currency in zip((True, *[False] * len(currencies)), currencies or [""], strict=False)
    ]
    cells = [tuple("" if value is None else str(value) for value in row) for row in rows]
    return Table((*span, *counts, "charged", "unpaid", "currency"), cells)


def _amounts(summary: WeekSummary, currency: str) -> tuple[str, str, str]:
    """Give what was charged and is unpaid in a currency, and the currency."""
    charged, unpaid = (
        next((f"{each.amount:f}" for each in several if each.currency == currency), "")
        for several in (summary.charged, summary.unpaid)
    )
    return charged, unpaid, currency


def _ids(facts: Sequence[Facts]) -> list[str]:
    return [one.id for one in facts]
