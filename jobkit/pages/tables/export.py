"""Jobs as rows of tables, for whoever takes them further: one JSON object a row, the same keys in every row.

Every row of an entry names its job, and its place among the entries of its sort in the file (`row`, from 0), so that
two rows are never one. A missing value is null.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.finding import Finding
from jobkit.jobs.job import Job, Price
from jobkit.jobs.money import Money
from jobkit.pages.forms.data import number
from jobkit.reckon.progress.status import status, waiting
from jobkit.reckon.readings.limits import Judged, judge_reading

Row = dict[str, Any]

TABLES = ("jobs", "readings", "work", "used", "trials", "findings")
"""The tables, in the order in which they are documented."""


def rows_of(job: Job, bench: Bench) -> Iterator[tuple[str, Row]]:
    """Yield the rows of a job, each with its table."""
    yield "jobs", _job(job)
    design = bench.designs.get(job.board.design or "")
    for row, reading in enumerate(job.readings):
        yield "readings", {**_entry(job, row, reading), **_reading(judge_reading(reading, bench, design))}
    for row, work in enumerate(job.work):
        yield "work", {**_entry(job, row, work), **_some(work, _WORK)}
    for row, used in enumerate(job.used):
        yield "used", {**_entry(job, row, used), **_some(used, _USED)}
    for row, trial in enumerate(job.trials):
        yield "trials", {**_entry(job, row, trial), **_some(trial, _TRIAL)}


_WORK = ("did", "part", "what", "minutes", "came", "alloy", "hours")
_USED = ("item", "part", "source", "qty", "cost", "price", "lot", "donor_part")
_TRIAL = ("run", "result", "minutes", "log", "host", "cold_start")


def _reading(judged: Judged) -> Row:
    reading, value, verdict = judged.reading, judged.reading.value, judged.verdict
    return {
        "stage": reading.stage,
        "point": reading.point,
        "kind": reading.kind,
        "to": reading.to,
        "red_on": reading.red_on,
        "state": reading.state,
        "removed": list(reading.removed),
        "value": None if value is None or value.open else number(value.value),
        "unit": value.unit if value else None,
        "text": value.text if value else None,
        "open": bool(value and value.open),
        "limit": judged.limit.text if judged.limit else None,
        "verdict": verdict.word if verdict else None,
        "uncertainty": number(verdict.uncertainty.value) if verdict and verdict.uncertainty else None,
        "meter": reading.meter,
    }


def finding_row(finding: Finding) -> Row:
    """Give the row of a finding; those about the bench's own files have no job."""
    return {
        "job": finding.job or None,
        "rule": finding.rule,
        "level": finding.level,
        "file": finding.file,
        "line": finding.line,
        "column": finding.column,
        "about": finding.about or None,
        "message": finding.message,
        "mend": finding.mend or None,
    }


_NOT_UTF_8 = re.compile("[\udc80-\udcff]")


def as_line(row: Row) -> str:
    r"""Write a row as one line of JSON.

    A byte of a file's name that is not UTF-8 is spelled out, for no engine reads it otherwise (RFC 8259, 8.1).

    >>> print(as_line({"file": "jobs/2026/\udcff.toml"}), end="")
    {"file":"jobs/2026/\\xff.toml"}
    """
    line = json.dumps(row, ensure_ascii=False, separators=(",", ":"))
    return _NOT_UTF_8.sub(lambda found: rf"\\x{ord(found[0]) - 0xDC00:02x}", line) + "\n"


def _job(job: Job) -> Row:
    facts, price = facts_of(job), job.price or Price()
    charged = price.charged
    days = {name: _plain(day) for name, day in job.dates._asdict().items()}
    return {
        "id": job.id,
        "file": job.path,
        "title": job.title,
        "client": job.client,
        "kind": job.board.kind,
        "design": job.board.design,
        "serial": job.board.serial,
        "outcome": job.outcome,
        "status": status(facts).word,
        "waiting": waiting(facts) or None,
        **days,
        "comeback_of": facts.comeback_of or None,
        "comeback_found": facts.comeback_found or None,
        "cause_part": facts.cause_part or None,
        "cause_fault": facts.cause_fault or None,
        "fate": facts.fate or None,
        "charged": f"{charged.amount:f}" if charged else None,
        "currency": charged.currency if charged else None,
        "minutes": sum(one.minutes for one in facts.work),
    }


def _entry(job: Job, row: int, entry: Any) -> Row:
    return {"job": job.id, "row": row, "at": _plain(entry.at), "by": entry.by}


def _some(entry: Any, keys: tuple[str, ...]) -> Row:
    return {key: _plain(getattr(entry, key)) for key in keys}


def _plain(value: Any) -> Any:
    if isinstance(value, Decimal):
        return number(value)
    if isinstance(value, date | datetime):
        return value.isoformat()
    return str(value) if isinstance(value, Money) else value


def of_year(path: str) -> str:
    """Tell in which part a file's rows stand: the name of its folder below jobs/, "0" for the bench's own files."""
    room, _, rest = path.partition("/")
    return rest.partition("/")[0] if room == "jobs" else "0"
