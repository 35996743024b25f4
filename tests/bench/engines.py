"""Query engines that read exported tables: what types they see, how many rows, and what they answer to questions.

    python -m tests.bench.engines duckdb TABLES jsonl ANSWERS     # or polars, spark; or parquet

Each engine is told the types as the README says: DuckDB by views.sql, the others by columns.json where the tables are
JSON Lines. All get the same questions in the same words, and read the files anew for each. What they answer is written
to the file ANSWERS as JSON, with the processor time that each question took the engine's processes together and the
most memory they held (Linux only).
"""

from __future__ import annotations

import atexit
import json
import os
import sys
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date, datetime
from functools import partial
from pathlib import Path
from typing import Any

import duckdb
import polars as pl

from jobkit.pages.tables.engine_types import types_of
from jobkit.pages.tables.export import NAMES

QUESTIONS = {
    "jobs in all": """
        select count(*) as jobs, sum(minutes) as minutes, count(distinct design) as designs, max(sent) as sent
        from jobs""",
    "readings by kind": """
        select kind, count(*) as readings, count(verdict) as judged, sum(value) as total, max("at") as latest
        from readings group by kind order by kind""",
    "work by design (join)": """
        select j.design as design, count(*) as works, sum(w.minutes) as minutes
        from work w join jobs j on w.job = j.id where j.design is not null
        group by j.design order by j.design""",
    "cost of parts by book": """
        select book, count(*) as parts, sum(qty * effective_cost) as cost from used group by book order by book""",
}
"""Questions in the SQL that all three engines read."""

Asked = Callable[[str], Iterable[Sequence[Any]]]
"""Gives the rows that answer a question."""

Engine = tuple[Asked, dict[str, dict[str, str]]]
"""How to ask, and the type of each column of each table in the words of `types_of`."""


def main() -> None:
    name, folder, form, answers = sys.argv[1:]
    told = answered(name, Path(folder).resolve(), form)
    Path(answers).write_text(json.dumps(told), "utf-8")


def answered(name: str, folder: Path, form: str) -> dict[str, Any]:
    """Let an engine read the tables of a folder; give types, rows of each table, answers and what each took."""
    spent: dict[str, float] = {}
    begun = time.perf_counter()
    ask, types = _timed(spent, "start", lambda: ENGINES[name](folder, form))
    counts = _timed(spent, "rows of all tables", lambda: {table: _count(ask, table) for table in NAMES})
    answers = {
        title: _timed(spent, title, partial(_answer, ask, question)) for title, question in QUESTIONS.items()
    }
    return {
        "types": types,
        "rows": counts,
        "answers": answers,
        "processor": spent,
        "clock": time.perf_counter() - begun,
        "memory": _memory(),
    }


def _timed(spent: dict[str, float], name: str, call: Callable[[], Any]) -> Any:
    before = _processor()
    found = call()
    spent[name] = _processor() - before
    return found


def _count(ask: Asked, table: str) -> int:
    ((count,),) = ask(f"select count(*) as n from {table}")  # noqa: S608 - a name of ours
    return int(count)


def _answer(ask: Asked, question: str) -> list[list[Any]]:
    """Ask a question; days and times become text, the same for all engines."""
    return [
        [value.isoformat() if isinstance(value, date | datetime) else value for value in row]
        for row in ask(question)
    ]


def _duckdb(folder: Path, form: str) -> Engine:
    del form  # the views know
    os.chdir(folder)
    engine = duckdb.connect()
    engine.execute((folder / "views.sql").read_text("utf-8"))
    types = {}
    for table in NAMES:
        seen = engine.sql(f"from {table}")
        types[table] = {
            column: DUCKDB_TYPES[str(kind)] for column, kind in zip(seen.columns, seen.types, strict=True)
        }
        types[table].pop("year")  # of the folders' names
    return lambda question: engine.sql(question).fetchall(), types


DUCKDB_TYPES = {
    "VARCHAR": "text",
    "DOUBLE": "number",
    "BOOLEAN": "flag",
    "DATE": "day",
    "TIMESTAMP": "moment",
    "VARCHAR[]": "texts",
    'STRUCT("name" VARCHAR, "value" VARCHAR)[]': "named texts",
    'STRUCT("name" VARCHAR, "value" DOUBLE)[]': "named numbers",
    "BIGINT": "count",
}


def _polars(folder: Path, form: str) -> Engine:
    frames = {table: _frame(folder, table, form) for table in NAMES}
    tables = pl.SQLContext(frames=frames)
    types = {
        table: {name: _polars_word(kind) for name, kind in frame.collect_schema().items()}
        for table, frame in frames.items()
    }
    return lambda question: tables.execute(question).collect(engine="streaming").rows(), types


def _frame(folder: Path, table: str, form: str) -> pl.LazyFrame:
    if form == "parquet":
        return pl.scan_parquet(folder / table / "*/*.parquet", hive_partitioning=False)
    types = {name: POLARS_TYPES[kind] for name, kind in types_of(table).items()}
    # The reader of JSON Lines knows no days and times: they are read as text first.
    read = {name: pl.String() if kind.is_temporal() else kind for name, kind in types.items()}
    frame = pl.scan_ndjson(folder / table / "*/*.jsonl", schema=read)
    days = [pl.col(name).str.to_date() for name, kind in types.items() if kind == pl.Date()]
    moments = [
        pl.col(name).str.to_datetime(time_unit="us")
        for name, kind in types.items()
        if kind == pl.Datetime("us")
    ]
    return frame.with_columns(*days, *moments)


def _pairs(value: pl.DataType) -> pl.DataType:
    return pl.List(pl.Struct({"name": pl.String(), "value": value}))


POLARS_TYPES: dict[str, pl.DataType] = {
    "text": pl.String(),
    "number": pl.Float64(),
    "flag": pl.Boolean(),
    "day": pl.Date(),
    "moment": pl.Datetime("us"),
    "texts": pl.List(pl.String()),
    "named texts": _pairs(pl.String()),
    "named numbers": _pairs(pl.Float64()),
    "count": pl.Int64(),
}


def _polars_word(kind: pl.DataType) -> str:
    return next(word for word, one in POLARS_TYPES.items() if one == kind)


def _spark(folder: Path, form: str) -> Engine:
    """Two workers, each a process of its own, as the README starts them."""
    # Only where it is asked: it needs Java.
    from pyspark.sql import SparkSession  # noqa: PLC0415

    os.environ.setdefault("PYSPARK_PYTHON", sys.executable)
    os.environ.setdefault("SPARK_LOCAL_IP", "127.0.0.1")
    spark = (
        SparkSession.builder.master("local-cluster[2,1,1024]")
        .config("spark.ui.enabled", "false")
        .config("spark.log.level", "ERROR")
        .getOrCreate()
    )
    atexit.register(spark.stop)
    told = json.loads((folder / "columns.json").read_text("utf-8"))
    types = {}
    for table in NAMES:
        read = spark.read.parquet if form == "parquet" else spark.read.schema(told[table]["ddl"]).json
        frame = read(str(folder / table))
        frame.createOrReplaceTempView(table)
        types[table] = {
            one.name: SPARK_TYPES[one.dataType.simpleString()] for one in frame.schema if one.name != "year"
        }
    # In Spark's own words a name in double quotes is a text unless this is set.
    spark.conf.set("spark.sql.ansi.doubleQuotedIdentifiers", "true")
    return lambda question: spark.sql(question).collect(), types


SPARK_TYPES = {
    "string": "text",
    "double": "number",
    "boolean": "flag",
    "date": "day",
    "timestamp_ntz": "moment",
    "array<string>": "texts",
    "array<struct<name:string,value:string>>": "named texts",
    "array<struct<name:string,value:double>>": "named numbers",
    "bigint": "count",
}

ENGINES: dict[str, Callable[[Path, str], Engine]] = {"duckdb": _duckdb, "polars": _polars, "spark": _spark}


def _processor() -> float:
    """Return the seconds of processor time that this process and those below it have taken."""
    ticks = sum(int(fields[11]) + int(fields[12]) for _, fields in _processes())
    return ticks / os.sysconf("SC_CLK_TCK")


def _memory() -> int:
    """Return the peak memory in kB of this process and those below it, added up."""
    lines = (
        line
        for path, _ in _processes()
        for line in (path / "status").read_text().splitlines()
        if line.startswith("VmHWM")
    )
    return sum(int(line.split()[1]) for line in lines)


def _processes() -> Iterator[tuple[Path, list[str]]]:
    """Yield this process and those below it: the folder in /proc, and the fields of `stat` from the state on."""
    found = {}
    for path in Path("/proc").glob("[0-9]*"):
        try:
            found[int(path.name)] = (path / "stat").read_text().rpartition(")")[2].split()
        except OSError:  # it has ended since
            continue
    below: dict[int, list[int]] = {}
    for pid, fields in found.items():
        below.setdefault(int(fields[1]), []).append(pid)
    ours = [os.getpid()]
    for pid in ours:  # which grows as they are found
        ours += below.get(pid, [])
    return ((Path(f"/proc/{pid}"), found[pid]) for pid in ours)


if __name__ == "__main__":
    main()
