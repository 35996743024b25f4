"""Jobs as rows of tables, for other programs: one JSON object a row, the same keys in every row.

Every row of an entry names its job, and its place among the entries of its sort in the file (`row`, from 0), so that
two rows are never one. A missing value is null.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from datetime import date
from functools import cache, partial
from operator import attrgetter
from typing import Any

from jobkit.book.schema.entry_keys import about
from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.jobs.finding import Finding
from jobkit.jobs.job import Job
from jobkit.jobs.sorts import ENTRIES, READINGS, TABLES, USED, Sort
from jobkit.pages.tables.across import LOTS, STOCK, WARRANTIES, lots, on_hand, warranties
from jobkit.pages.tables.bill_columns import BILL_LINES, BILLED, bill_of, bill_rows
from jobkit.pages.tables.columns import BOOK, TYPES, Column, amount_of, columns_of
from jobkit.reckon.money.cost import cost_of
from jobkit.reckon.progress.status import status, waiting
from jobkit.reckon.readings.limits import Judged, judge_reading

Row = dict[str, Any]

NAMES = ("jobs", *(sort.field for sort in ENTRIES), "bills", "warranties", "stock", "lots", "findings")
"""The tables, in the order in which they are documented."""


def rows_of(job: Job, bench: Bench) -> Iterator[tuple[str, Row]]:
    """Yield the rows of a job, each with its table."""
    made = bill_of(job, bench)
    yield "jobs", _row("jobs", job) | {column.name: column.of(made) for column in BILLED}
    for number, line in enumerate(bill_rows(made)):
        yield "bills", {"job": job.id, "row": number, **_row("bills", line)}
    design = bench.designs.get(job.board.design or "")
    for sort in ENTRIES:
        for number, entry in enumerate(sort.of(job)):
            row = {"job": job.id, "row": number, **_row(sort.field, entry)}
            if sort is READINGS:
                judged = judge_reading(entry, bench, design)
                row |= {column.name: column.of(judged) for column in _JUDGED}
            if sort is USED:
                spent = cost_of(facts_of(job).used[number], facts_of(job), bench)
                row |= {column.name: column.of(spent) for column in _SPENT}
            yield sort.field, row


def rows_across(known: Mapping[str, Facts], bench: Bench, on: date) -> Iterator[tuple[str, str, Row]]:
    """Yield the rows that depend on all jobs, each with its part (`of_year`) and its table."""
    for path, found in warranties(known, bench, on):
        yield of_year(path), "warranties", _row("warranties", found)
    items = on_hand(known, bench, on)
    for each in items:
        yield _OWN, "stock", {"as_of": on.isoformat(), **_row("stock", each)}
    for pair in lots(items):
        yield _OWN, "lots", {"as_of": on.isoformat(), **_row("lots", pair)}


def _row(table: str, record: Any) -> Row:
    return {column.name: column.of(record) for column in _columns()[table]}


@cache
def _columns() -> Mapping[str, tuple[Column, ...]]:
    """Give the columns of each table that are taken from its own records."""
    return {
        "jobs": tuple(_of_jobs()),
        **{sort.field: tuple(columns_of(sort)) for sort in ENTRIES},
        "bills": BILL_LINES,
        "warranties": WARRANTIES,
        "stock": STOCK,
        "lots": LOTS,
        "findings": _FINDINGS,
    }


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
        "minutes", "always number", minutes, lambda job: float(sum(one.minutes for one in facts_of(job).work))
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


_SPENT = tuple(
    amount_of(
        "effective_cost",
        "What one piece cost the bench: as written, else by its lot or the item in stock.toml on the day of use.",
        lambda cost: cost,
    )
)
"""What the stock says of a part used, beside what the entry says."""

_FINDINGS = (
    Column("job", "text", "The job; null for one of the bench's own files.", lambda found: found.job or None),
    Column("rule", "always text", "The rule.", lambda found: found.rule),
    Column("level", "always text", "error, warning or note.", lambda found: found.level),
    Column("file", "always text", "The file, relative to the book.", lambda found: found.file),
    Column("line", "count", "The line, from 1.", lambda found: found.line),
    Column("column", "count", "The column, from 1.", lambda found: found.column),
    Column("about", "text", "What it is about, as `[[waive]]` names it.", lambda found: found.about or None),
    Column("message", "always text", "What is wrong.", lambda found: found.message),
    Column("mend", "text", "How to fix it.", lambda found: found.mend or None),
)


def finding_row(finding: Finding) -> Row:
    """Give the row of a finding; those about the bench's own files have no job."""
    return _row("findings", finding)


_NOT_UTF_8 = re.compile("[\udc80-\udcff]")
_LINE_ENDS = re.compile("[\x85\u2028\u2029]")
"""What ends a line for a reader that goes by Unicode, and would tear a row in two."""


def as_line(row: Row) -> str:
    r"""Write a row as one line of JSON; a number that may be fractional always has its point, as in 12.0.

    A byte of a file's name that is not UTF-8 is spelled out, for no engine reads it otherwise (RFC 8259, 8.1).

    >>> print(as_line({"file": "jobs/2026/\udcff.toml"}), end="")
    {"file":"jobs/2026/\\xff.toml"}
    """
    line = json.dumps(row, ensure_ascii=False, separators=(",", ":"))
    whole = _LINE_ENDS.sub(lambda found: rf"\u{ord(found[0]):04x}", line)
    return _NOT_UTF_8.sub(lambda found: rf"\\x{ord(found[0]) - 0xDC00:02x}", whole) + "\n"


_OWN = "0"


def of_year(path: str) -> str:
    """Tell in which part a file's rows stand: the name of its folder below jobs/, "0" for the bench's own files."""
    room, _, rest = path.partition("/")
    return rest.partition("/")[0] if room == "jobs" else _OWN


def schema_of(table: str) -> Mapping[str, Any]:
    """Write the JSON Schema of a row of a table."""
    properties = {
        column.name: {"description": column.about, **TYPES[column.type]} for column in every_column(table)
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"Export: {table}",
        "description": f"A row of {table}.jsonl. {_about(table)}",
        "type": "object",
        "additionalProperties": True,
        "required": list(properties),
        "properties": properties,
    }


def _about(table: str) -> str:
    path = next((sort.path for sort in ENTRIES if sort.field == table), ())
    return _ABOUT.get(table) or about("job", path)


_ABOUT = {
    "bills": "A line of the bill of a job, or of a credit note.",
    "warranties": "A warranty that was given.",
    "stock": "An item of stock.toml: what is on hand at the end of a day.",
    "lots": "A lot of an item.",
    "findings": "One thing that lint says. Those about the bench's own files are in the part year=0.",
}


def every_column(table: str) -> tuple[Column, ...]:
    """Return the columns of a table in the order in which a row has them."""
    of_entries = _OF_AN_ENTRY if table == "bills" or table in {sort.field for sort in ENTRIES} else ()
    before = _AS_OF if table in {"stock", "lots"} else of_entries
    # What the bench says of an entry takes the place of a key of the same name: the limit that counts.
    columns = (BOOK, *before, *_columns()[table], *_MORE.get(table, ()))
    return tuple({column.name: column for column in columns}.values())


_AS_OF = (Column("as_of", "day", "The day at whose end it is so.", lambda _: None),)
_MORE = {"jobs": BILLED, READINGS.field: _JUDGED, USED.field: _SPENT}


_CHAINED = ("chain",)
"""The columns that name several jobs."""

_JOB_KEYS = ("job", "id", "comeback_of", "counted_in")
"""The columns that name a job."""


def in_book(name: str, row: Row) -> Row:
    """Put a book's name before the jobs and the files that a row names, where several books are exported."""
    named: Row = {key: f"{name}/{row[key]}" for key in (*_JOB_KEYS, "file") if row.get(key)}
    named |= {key: [f"{name}/{job}" for job in row[key]] for key in _CHAINED if key in row}
    donor = row.get("source")
    if donor and donor not in {"stock", "bought", "client"}:
        named["source"] = f"{name}/{donor}"
    return row | named
