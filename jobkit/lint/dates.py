"""Rules about days: their order, and what lies outside the job."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.bench import Bench
from jobkit.jobs.job import Dates, Job
from jobkit.lint.registry import Found, rule

_ORDER = (
    ("received", "quoted"),
    ("received", "promised"),
    ("quoted", "agreed"),
    ("quoted", "declined"),
    ("received", "agreed"),
    ("received", "declined"),
    ("received", "started"),
    ("received", "finished"),
    ("started", "finished"),
    ("received", "sent"),
    ("finished", "sent"),
    ("finished", "collected"),
    ("sent", "collected"),
    ("received", "collected"),
)
"""What comes first and what cannot come before it; payment may come at any time."""


@rule("error")
def date_order(job: Job, _bench: Bench) -> Iterator[Found]:
    """Find dates that run backwards.

    What it finds: a date that lies before one that must come first: nothing before receipt, no agreement before the
    quote, no finish before the start, nothing sent or collected before it is finished.

    Why it matters: status, turnaround and warranty are counted from these dates.

    How to mend: correct the later or the earlier date; the finding names both.

    Example: `finished = 2026-10-20` under `started = 2026-10-22`.
    """
    told: set[str] = set()
    for first, then in _ORDER:
        if then not in told and _backwards(job.dates, first, then):
            told.add(then)
            before, after = getattr(job.dates, first), getattr(job.dates, then)
            message = f"{then} {after} lies before {first} {before}"
            yield Found(("dates", then), then, message, f"correct {then} or {first}")


def _backwards(dates: Dates, first: str, then: str) -> bool:
    before, after = getattr(dates, first), getattr(dates, then)
    return before is not None and after is not None and after < before
