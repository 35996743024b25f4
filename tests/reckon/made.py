"""Facts of jobs made from a few words, for the arithmetic that runs on them."""

from __future__ import annotations

from typing import Any

from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job

_DAYS = (
    "announced", "received", "promised", "quoted", "agreed", "declined", "started", "finished", "paid", "sent",
    "collected", "warranty_void_on",
)  # fmt: skip
_DATED = ("work", "used", "trials", "proof", "payments", "credits")


def made(job: str, **fields: Any) -> Facts:
    """Make the facts of a job that holds these fields and nothing else."""
    bare = facts_of(Job(f"jobs/2026/{job}.toml", job))
    days = [fields.get(name, "") for name in _DAYS] + [wait.since for wait in fields.get("waits", ())]
    days += (entry.day for name in _DATED for entry in fields.get(name, ()))
    return bare._replace(**{"last_day": max(days), **fields})


def repaired(job: str, day: str, **fields: Any) -> Facts:
    """Make the facts of a job that was received, repaired, finished and sent on one day."""
    return made(job, **{"outcome": "repaired", "received": day, "finished": day, "sent": day, **fields})
