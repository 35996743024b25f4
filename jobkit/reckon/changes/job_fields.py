"""What is said of a job as a whole, outside its entries, each thing under a label of its own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from jobkit.jobs.job import Job
from jobkit.jobs.phrases import said


def whole(job: Job) -> Iterator[tuple[str, str, str]]:
    """Yield what is said of a job as a whole: what it is about, its label, and the text ("" for nothing)."""
    for name in ("id", "client", "title", "outcome"):
        yield name, name, said(getattr(job, name))
    for what, record in _tables(job):
        labels = _LABELS.get(what, {})
        for name in record._fields if record else ():
            if not (what == "price" and name in _ENTRIES):
                yield what, labels.get(name, name.replace("_", " ")), said(getattr(record, name))


_ENTRIES = ("agreed", "lines", "payments", "credits")
"""What stands in the price as entries, each of which is told by itself."""

_LABELS: Mapping[str, Mapping[str, str]] = {
    "board": {"place": "lies", "kept_back": "kept apart:"},
    "intake": {"country": "came from", "prior_work": "worked on before:"},
    "price": {
        "ceiling": "at most",
        "if_not_repaired": "if not repaired",
        "tax": "tax in percent",
        "tax_note": "tax note:",
    },
    "firmware": {"came": "firmware came", "saved": "firmware saved", "left": "firmware left"},
    "cause": {"part": "cause", "fault": "fault:", "name": "cause by name:"},
    "warranty": {
        "runs": "warranty runs",
        "counted_from": "warranty from",
        "on": "warranty on",
        "void": "warranty void:",
        "void_on": "warranty void since",
    },
    "comeback": {"of": "comeback of", "found": "comeback found to be"},
    "parcel": {"came_in": "parcel in", "went_out": "parcel out", "insured": "parcel insured for"},
    "fate": {"what": "fate"},
}
"""How a field is called where its own name would not do."""


def _tables(job: Job) -> Iterator[tuple[str, Any]]:
    yield "board", job.board
    yield "intake", job.intake
    yield "dates", job.dates
    yield "price", job.price
    yield "firmware", job.firmware
    yield "cause", job.cause
    yield "warranty", job.warranty._replace(given=False)
    yield "comeback", job.comeback
    yield "parcel", job.parcel
    yield "fate", job.fate
