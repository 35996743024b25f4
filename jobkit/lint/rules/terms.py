"""The terms of the bench: a change must not alter what is past."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.finding import Place
from jobkit.lint.registry import Found, FoundIn, terms_rule

_SHOWN = 5
"""So many jobs are named, and the others counted."""


@terms_rule("error")
def terms_moved(bench: Bench, facts: Callable[[], Sequence[Facts]]) -> Iterator[FoundIn]:
    """A change of the bench's terms alters jobs that have been sent.

    What it finds: a change of tax, warranty or costs in bench.toml or stock.toml since the last commit (in a commit,
    since its first parent) that alters the bill, the warranty or the cost of parts of a job that has been sent or
    collected. A view by the minute of a job without a price is not a bill.

    Why it matters: the client has a paper with the old figures. A VAT that is raised today does not change the bill of
    last year.

    How to fix: leave the old terms as they were, and add an entry with its first day: [[tax]], [[warranty]],
    [[bench.rate]] or [[item.NAME.cost]], each with `since`. To correct terms that were wrong from the start, set
    `warn = ["terms-moved"]` under [lint] for that commit.

    Example: `rate = "24 %"` under [tax] changed to `rate = "25 %"`, where jobs with 24 % have been sent.
    """
    # Terms change once a year; a check of any other change need not wait for it.
    from jobkit.reckon.warranty.terms_change import altered_jobs, are_unlike  # noqa: PLC0415

    was = bench.repository.terms
    if was is None:
        return
    before = bench._replace(
        settings=bench.settings if was.settings is None else was.settings,
        stock=bench.stock if was.stock is None else was.stock,
    )
    if not are_unlike(before, bench):
        return
    found = altered_jobs(facts(), before, bench, bench.today or date.max)
    if found.bills:
        yield _found("bench.toml", ("tax",), "bill", found.bills, "[[tax]]")
    if found.warranties:
        yield _found("bench.toml", ("warranty",), "warranty", found.warranties, "[[warranty]]")
    if found.costs:
        yield _found("stock.toml", ("item",), "cost of parts", found.costs, "[[item.NAME.cost]]")


def _found(file: str, place: Place, what: str, jobs: Sequence[str], key: str) -> FoundIn:
    more = f" and {len(jobs) - _SHOWN} more" if len(jobs) > _SHOWN else ""
    named = f"{', '.join(jobs[:_SHOWN])}{more}"
    message = (
        f"this change alters the {what} of {named}, which {'have' if len(jobs) > 1 else 'has'} been sent"
    )
    mend = f"put the old terms back, and add the new ones as {key} with since, the first day on which they are in force"
    return FoundIn(file, Found(place, what, message, mend))
