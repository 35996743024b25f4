"""What is said of a job as a whole, outside its entries, each thing under a label of its own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from jobkit.jobs.job import Job
from jobkit.jobs.phrases import said
from jobkit.jobs.sorts import ENTRIES, TABLES


def job_fields(job: Job) -> Iterator[tuple[str, str, str]]:
    """Yield what is said of a job as a whole: what it is about, its label, and the text ("" for nothing)."""
    for name in ("id", "client", "title", "outcome", "public"):
        yield name, name, said(getattr(job, name))
    for table in TABLES:
        labels = _LABELS.get(table.name, {})
        for record in table.of(job):
            for name in record._fields:
                if (*table.path, name) not in _ENTRIES:
                    yield table.name, labels.get(name, name.replace("_", " ")), said(getattr(record, name))


_ENTRIES = frozenset((*sort.path[:-1], sort.field) for sort in ENTRIES)
"""What is in a table as entries, each of which is told separately."""

_LABELS: Mapping[str, Mapping[str, str]] = {
    "board": {"place": "location", "kept_back": "stored separately:"},
    "intake": {"country": "came from", "prior_work": "earlier repair attempt:"},
    "price": {
        "ceiling": "at most",
        "if_not_repaired": "if not repaired",
        "tax": "tax in percent",
        "tax_note": "tax note:",
    },
    "firmware": {"came": "firmware came", "saved": "firmware saved", "left": "firmware left"},
    "cause": {"part": "cause", "fault": "fault:", "name": "cause by name:"},
    "invoice": {"number": "invoice", "on": "invoice of"},
    "warranty": {
        "duration": "warranty",
        "counted_from": "warranty from",
        "scope": "warranty on",
        "void": "warranty void:",
        "void_on": "warranty void since",
    },
    "comeback": {"of": "comeback of", "found": "comeback found to be"},
    "parcel": {"came_in": "parcel in", "went_out": "parcel out", "insured": "parcel insured for"},
    "fate": {"what": "fate"},
}
"""How a field is called where its own name would not do."""
