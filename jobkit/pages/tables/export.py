"""Jobs as rows of tables, for other programs: one JSON object a row, the same keys in every row.

Every row of an entry names its job, and its place among the entries of its sort in the file (`row`, from 0), so that
two rows are never one. A missing value is null.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from functools import cache, partial
from operator import attrgetter
from typing import Any

from jobkit.book.schema.entry_keys import about
from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.finding import Finding
from jobkit.jobs.job import Job
from jobkit.jobs.money import Money
from jobkit.jobs.sorts import ENTRIES, READINGS, TABLES, Sort
from jobkit.pages.tables.columns import TYPES, Column, columns_of
from jobkit.reckon.money.bill import Bill, bill
from jobkit.reckon.money.priced import NOTHING, basis
from jobkit.reckon.progress.status import status, waiting
from jobkit.reckon.readings.limits import Judged, judge_reading
from jobkit.units.errors import MisuseError

Row = dict[str, Any]

NAMES = ("jobs", *(sort.field for sort in ENTRIES), "findings")
"""The tables, in the order in which they are documented."""


def rows_of(job: Job, bench: Bench) -> Iterator[tuple[str, Row]]:
    """Yield the rows of a job, each with its table."""
    made = _bill_of(job, bench)
    yield "jobs", _row("jobs", job) | {column.name: column.of(made) for column in _BILLED}
    design = bench.designs.get(job.board.design or "")
    for sort in ENTRIES:
        for number, entry in enumerate(sort.of(job)):
            row = {"job": job.id, "row": number, **_row(sort.field, entry)}
            if sort is READINGS:
                judged = judge_reading(entry, bench, design)
                row |= {column.name: column.of(judged) for column in _JUDGED}
            yield sort.field, row


def _row(table: str, record: Any) -> Row:
    return {column.name: column.of(record) for column in _columns()[table]}


@cache
def _columns() -> Mapping[str, tuple[Column, ...]]:
    """Give the columns of each table that are taken from its own records."""
    return {"jobs": tuple(_of_jobs()), **{sort.field: tuple(columns_of(sort)) for sort in ENTRIES}}


def _of_jobs() -> Iterator[Column]:
    yield Column("id", "always text", "The id of the job.", lambda job: job.id)
    yield Column("file", "always text", "Its file, relative to the book.", lambda job: job.path)
    for name in ("title", "client", "outcome"):
        yield Column(name, "text", about("job", (), name), attrgetter(name))
    yield Column("public", "always flag", about("job", (), "public"), attrgetter("public"))
    yield Column(
        "status", "always text", "Its status, derived from its dates.", lambda job: status(facts_of(job)).word
    )
    yield Column("waiting", "text", "What it waits for.", lambda job: waiting(facts_of(job)) or None)
    for table in TABLES:
        prefix = "" if table.name == "dates" else f"{table.name}_"
        for column in columns_of(table, prefix):
            yield column._replace(
                name=_SHORTER.get(column.name, column.name), of=partial(_in_table, table, column)
            )
    minutes = "Minutes of work, all entries together."
    yield Column(
        "minutes", "always number", minutes, lambda job: sum(one.minutes for one in facts_of(job).work)
    )


_SHORTER = {"board_kind": "kind", "board_design": "design", "board_serial": "serial", "fate_what": "fate"}


def _in_table(table: Sort, column: Column, job: Job) -> Any:
    """Take what a column says of a table; null, or an empty list, where the job has none."""
    records = table.of(job)
    return column.of(records[0] if records else table.record())


_OF_AN_ENTRY = (
    Column("job", "always text", "The id of the job.", lambda _: None),
    Column("row", "count", "Its place among the entries of its sort in the file, from 0.", lambda _: None),
)


def _uncertainty(judged: Judged) -> float | None:
    found = judged.verdict.uncertainty if judged.verdict else None
    return float(found.value) if found else None


def _bill_of(job: Job, bench: Bench) -> Bill | None:
    """Make out the bill of a job; None where nothing is priced, or where it cannot be billed (lint says why)."""
    facts = facts_of(job)
    if basis(facts) == NOTHING:
        return None
    try:
        return bill(facts, bench)
    except MisuseError:
        return None


def _of_bill(name: str, about: str, of: Callable[[Bill], Money | None]) -> Column:
    def amount(made: Bill | None) -> float | None:
        money = of(made) if made else None
        return float(money.amount) if money else None

    return Column(name, "number", about, amount)


_BILLED = (
    _of_bill(
        "billed",
        "What the bill charges without tax and shipping, less discounts and credits; null where there is no bill.",
        lambda made: made.earned,
    ),
    _of_bill("bill_net", "The bill without tax.", lambda made: made.totals.net),
    _of_bill("bill_tax", "Its tax.", lambda made: made.totals.tax),
    _of_bill("bill_gross", "The bill with tax.", lambda made: made.totals.gross),
    _of_bill(
        "bill_owed", "The balance due; negative where money is to be given back.", lambda made: made.owed
    ),
    Column("bill_currency", "text", "Its currency, ISO 4217.", lambda made: made.currency if made else None),
)
"""What the bench's terms make of a job's prices, beside what the job says."""

_JUDGED = (
    Column(
        "open",
        "always flag",
        "Whether the meter showed an open circuit.",
        lambda judged: bool(judged.reading.value and judged.reading.value.open),
    ),
    Column(
        "limit",
        "text",
        "The limit that the reading is checked against: its own, or the board file's.",
        lambda judged: judged.limit.text if judged.limit else None,
    ),
    Column(
        "verdict",
        "text",
        "in, out or near; null where there is no limit.",
        lambda judged: judged.verdict.word if judged.verdict else None,
    ),
    Column(
        "uncertainty",
        "number",
        "Expanded uncertainty in the base unit, where the meter is known.",
        _uncertainty,
    ),
)
"""What the bench says of a reading, beside what the reading says."""


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


def of_year(path: str) -> str:
    """Tell in which part a file's rows stand: the name of its folder below jobs/, "0" for the bench's own files."""
    room, _, rest = path.partition("/")
    return rest.partition("/")[0] if room == "jobs" else "0"


def schema_of(table: str) -> Mapping[str, Any]:
    """Write the JSON Schema of a row of a table of jobs or entries."""
    properties = {
        column.name: {"description": column.about, **TYPES[column.type]} for column in _every_column(table)
    }
    path = next((sort.path for sort in ENTRIES if sort.field == table), ())
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"Export: {table}",
        "description": f"A row of {table}.jsonl. {about('job', path)}",
        "type": "object",
        "additionalProperties": True,
        "required": list(properties),
        "properties": properties,
    }


def _every_column(table: str) -> tuple[Column, ...]:
    of_entries = () if table == "jobs" else _OF_AN_ENTRY
    more = _BILLED if table == "jobs" else _JUDGED if table == READINGS.field else ()
    return (*of_entries, *_columns()[table], *more)


_JOB_KEYS = ("job", "id", "comeback_of")
"""The columns that name a job."""


def in_book(name: str, row: Row) -> Row:
    """Put a book's name before the jobs and the files that a row names, where several books are exported."""
    named = {key: f"{name}/{row[key]}" for key in (*_JOB_KEYS, "file") if row.get(key)}
    donor = row.get("source")
    if donor and donor not in {"stock", "bought", "client"}:
        named["source"] = f"{name}/{donor}"
    return row | named
