"""The exported tables as engines read them: the same types and sums everywhere, and years that did not change stay."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from datetime import date, datetime
from functools import cache
from pathlib import Path
from typing import Any

import duckdb
import pyarrow.parquet
import pytest

from jobkit.book.read import parallel
from jobkit.pages.tables.engine_types import types_of
from jobkit.pages.tables.export import NAMES
from tests.bench.__main__ import ROOT
from tests.bench.export import agreed, written
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import EXAMPLE, JOB, JOB_PATH, make_book
from tests.conftest import Run

ON = ("--on", "2026-11-20")
JOBKIT = (sys.executable, "-m", "jobkit")
FORMS = ("jsonl", "parquet")


@pytest.fixture(scope="module", params=FORMS)
def tables(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Export the example book in each form."""
    out = tmp_path_factory.mktemp("out") / str(request.param)
    subprocess.run(
        [*JOBKIT, "--no-cache", "--book", str(EXAMPLE), "export", str(out), "--format", out.name, *ON],
        check=True,
        capture_output=True,
    )  # fmt: skip
    return out


def duck(tables: Path, question: str, monkeypatch: pytest.MonkeyPatch) -> duckdb.DuckDBPyRelation:
    """Ask a question of the views that are in the folder."""
    monkeypatch.chdir(tables)
    engine = duckdb.connect()
    engine.execute((tables / "views.sql").read_text("utf-8"))
    found = engine.sql(question)
    assert found is not None
    return found


DUCK = {
    "text": "VARCHAR",
    "number": "DOUBLE",
    "flag": "BOOLEAN",
    "day": "DATE",
    "moment": "TIMESTAMP",
    "texts": "VARCHAR[]",
    "named texts": 'STRUCT("name" VARCHAR, "value" VARCHAR)[]',
    "named numbers": 'STRUCT("name" VARCHAR, "value" DOUBLE)[]',
    "count": "BIGINT",
}


@pytest.mark.parametrize("table", NAMES)
def test_views_have_the_types_of_the_columns(
    table: str, tables: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = duck(tables, f"from {table}", monkeypatch)
    types = dict(zip(found.columns, map(str, found.types), strict=True))
    assert types == {**{name: DUCK[kind] for name, kind in types_of(table).items()}, "year": "BIGINT"}
    told = json.loads((tables / "columns.json").read_text("utf-8"))[table]
    assert list(told["columns"]) == list(types_of(table))


def test_two_engines_see_the_same_types_rows_and_answers(tables: Path) -> None:
    found = {(one, tables.name): _answer_of(one, tables) for one in ("duckdb", "polars")}
    assert "the same answers in duckdb, polars" in agreed(found, {tables.name: written(tables)})


@cache
def _answer_of(name: str, tables: Path) -> Any:
    place = tables.with_name(f"{tables.name}-{name}")
    words = [sys.executable, "-m", "tests.bench.engines", name, str(tables), tables.name, str(place)]
    done = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=False, timeout=240)
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(place.read_text("utf-8"))


DIFFERENCES: dict[str, Callable[[Any], None]] = {
    "a type": lambda told: told["types"]["jobs"].update(minutes="count"),
    "a row": lambda told: told["rows"].update(jobs=told["rows"]["jobs"] - 1),
    "a sum": lambda told: told["answers"].update({"jobs in all": [[50, 4150.5, 4, "2026-10-28"]]}),
}


@pytest.mark.parametrize("change", DIFFERENCES.values(), ids=DIFFERENCES)
def test_engines_that_differ_are_told_from_those_that_agree(
    change: Callable[[Any], None], tables: Path
) -> None:
    one = _answer_of("duckdb", tables)
    other = json.loads(json.dumps(one))
    change(other)
    found = {("duckdb", tables.name): one, ("other", tables.name): other}
    with pytest.raises(SystemExit, match="differ"):
        agreed(found, {tables.name: written(tables)})


def test_parquet_holds_what_json_lines_hold(tmp_path: Path, run: Run) -> None:
    """Row by row and value by value; days and times as text on both sides."""
    for form in FORMS:
        assert run("export", tmp_path / form, "--format", form, "--book", EXAMPLE, *ON).status == 0

    def told(value: Any) -> Any:
        return value.isoformat() if isinstance(value, date | datetime) else value

    for table in NAMES:
        lines = [
            json.loads(line)
            for path in sorted(tmp_path.glob(f"jsonl/{table}/*/*.jsonl"))
            for line in path.read_text("utf-8").splitlines()
        ]
        rows = [
            {name: told(value) for name, value in row.items()}
            for path in sorted(tmp_path.glob(f"parquet/{table}/*/*.parquet"))
            for row in pyarrow.parquet.ParquetFile(path).read().to_pylist()
        ]
        assert rows == lines, table
        assert rows, table


def test_a_late_fraction_is_not_rounded_by_an_engine_that_guesses(tmp_path: Path, run: Run) -> None:
    """Without views, and with one row as the whole sample."""
    entry = '[[work]]\nat = 2026-10-0{}T10:00:00\ndid = "clean"\nwhat = "x{}"\nminutes = {}\n'
    work = "".join(entry.format(3, number, "12.5" if number == 29 else "12") for number in range(30))
    book = make_book(tmp_path / "book", {JOB_PATH: f"{JOB}\n{work}"})
    assert run("export", tmp_path / "out", "--book", book).status == 0
    path = next((tmp_path / "out/work").rglob("*.jsonl"))
    found = duckdb.read_json(str(path), sample_size=1).filter("minutes < 20")
    assert found.aggregate("max(minutes), typeof(max(minutes))").fetchall() == [(12.5, "DOUBLE")]


def test_a_number_that_may_be_fractional_has_its_point_in_every_line(tmp_path: Path, run: Run) -> None:
    run("export", tmp_path / "out", "--book", EXAMPLE, *ON)
    for table in NAMES:
        wholes = {name for name, kind in types_of(table).items() if kind == "count"}
        for path in (tmp_path / "out" / table).rglob("*.jsonl"):
            for line in path.read_text("utf-8").splitlines():
                told = json.loads(line, parse_int=lambda text: ("whole", text))
                assert {name for name, value in told.items() if isinstance(value, tuple)} <= wholes, table
                pairs = [pair for value in told.values() if isinstance(value, list) for pair in value]
                assert not [one for one in pairs if isinstance(one, dict) and isinstance(one["value"], tuple)]


def stamps(out: Path) -> dict[str, int]:
    return {
        str(path.relative_to(out)): path.stat().st_mtime_ns for path in out.rglob("*.*") if path.is_file()
    }


def contents(out: Path) -> dict[str, bytes]:
    return {name: (out / name).read_bytes() for name in stamps(out) if name[0] != "."}


def changed(out: Path, before: dict[str, int]) -> set[str]:
    """Name the parts in which a file was written again or is gone."""
    now = stamps(out)
    paths = {path for path in now.keys() | before.keys() if now.get(path) != before.get(path)}
    return {path.split("year=")[1].split("/")[0] for path in paths if "year=" in path}


@pytest.fixture
def book(tmp_path: Path) -> Path:
    shutil.copytree(EXAMPLE, tmp_path / "book")
    return tmp_path / "book"


def _more_minutes(book: Path, out: Path) -> None:
    del out
    path = book / "jobs/2025/K25-0213.toml"
    path.write_text(f"{path.read_text('utf-8')}\n[[note]]\nat = 2025-12-20T10:00:00\ntext = 'x'\n", "utf-8")


CHANGES: dict[str, tuple[Callable[[Path, Path], object], set[str]]] = {
    "nothing": (lambda _book, _out: None, set()),
    "a job of 2025": (_more_minutes, {"2025"}),
    "a file deleted": (lambda _book, out: (out / "jobs/year=2025/jobs.jsonl").unlink(), {"2025"}),
    "a file cut short": (lambda _book, out: (out / "jobs/year=2025/jobs.jsonl").write_text(""), {"2025"}),
    "no notes, as after a kill": (
        lambda _book, out: (out / ".jobkit-export.json").unlink(),
        {"2025", "2026", "0"},
    ),
    "notes that are none": (
        lambda _book, out: (out / ".jobkit-export.json").write_text('{"years": {"2025": 3}}'),
        {"2025", "2026", "0"},
    ),
    "a meter": (
        lambda book, _out: (book / "meters.toml").write_text(
            (book / "meters.toml").read_text("utf-8") + "\n# x\n"
        ),
        {"2025", "2026", "0"},
    ),
}


@pytest.mark.parametrize(("change", "years"), CHANGES.values(), ids=CHANGES)
def test_only_years_that_changed_are_written_again(
    change: Callable[[Path, Path], object], years: set[str], book: Path, tmp_path: Path, run: Run
) -> None:
    out = tmp_path / "out"
    run("export", out, "--book", book, *ON)
    before = stamps(out)
    change(book, out)
    ran = run("export", out, "--book", book, *ON)
    assert ran.status == 0
    assert changed(out, before) == years
    assert ("nothing has changed" in ran.out) == (not years)
    run("export", tmp_path / "again", "--book", book, *ON)
    assert contents(out) == contents(tmp_path / "again")


def test_one_folder_holds_one_form(book: Path, tmp_path: Path, run: Run) -> None:
    out = tmp_path / "out"
    run("export", out, "--book", book, *ON)
    assert run("export", out, "--book", book, *ON, "--format", "parquet").status == 0
    assert not list(out.rglob("*.jsonl"))
    assert "read_parquet" in (out / "views.sql").read_text("utf-8")


def test_several_processes_write_the_same_bytes(
    book: Path, tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(parallel, "_processes", lambda: 1)
    run("export", tmp_path / "one", "--book", book, *ON)
    monkeypatch.setattr(parallel, "_processes", lambda: 3)
    monkeypatch.setattr(parallel, "_WORTH_IT", 1)
    run("export", tmp_path / "three", "--book", book, *ON)
    one, three = contents(tmp_path / "one"), contents(tmp_path / "three")
    assert one.keys() == three.keys()
    assert one == three


def test_the_book_is_a_column(book: Path, tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    run("export", tmp_path / "out", "--book", book, "--book", EXAMPLE, *ON)
    found = duck(tmp_path / "out", "select book, count(*) from jobs group by all order by all", monkeypatch)
    count = len(list(EXAMPLE.glob("jobs/*/*.toml")))
    assert found.fetchall() == [(book.name, count), (EXAMPLE.name, count)]
    question = "select count(*) from warranties w join jobs j on j.id = w.chain[1] and j.book = w.book"
    joined = duck(tmp_path / "out", question, monkeypatch)
    all_of_them = duck(tmp_path / "out", "select count(*) from warranties", monkeypatch)
    assert joined.fetchall() == all_of_them.fetchall()


def test_the_effective_cost_is_that_of_earnings(
    tables: Path, monkeypatch: pytest.MonkeyPatch, run: Run
) -> None:
    """What all finished or declined jobs spent on parts, as `earnings` calculates it."""
    question = """select round(sum(u.qty * u.effective_cost), 2) from used u join jobs j on j.id = u.job
        where (j.finished is not null or j.declined is not null) and coalesce(u.source, '') <> 'client'"""
    (spent,) = duck(tables, question, monkeypatch).fetchall()
    told = run("earnings", "--book", EXAMPLE, *ON, "--format", "json").data["all"]
    assert [row["parts"] for row in told] == [f"{spent[0]:.2f} EUR"]


def test_warranties_are_those_that_warranty_tells(
    tables: Path, monkeypatch: pytest.MonkeyPatch, run: Run
) -> None:
    rows = duck(tables, "select job, last_day, chain from warranties order by job", monkeypatch).fetchall()
    assert len(rows) > 10
    for job, last_day, chain in rows[::5]:
        told = run("warranty", job, "--book", EXAMPLE, *ON, "--format", "json").data
        assert (told["last_day"], told["chain"]) == (str(last_day), chain)


def test_bills_add_up_to_what_bill_charges(tables: Path, monkeypatch: pytest.MonkeyPatch, run: Run) -> None:
    question = "select job, round(sum(gross), 2) from bills where paper is null group by job order by job"
    rows = duck(tables, question, monkeypatch).fetchall()
    assert len(rows) > 10
    for job, gross in rows[::9]:
        told = run("bill", job, "--book", EXAMPLE, *ON, "--format", "json").data
        assert float(told["gross"].split()[0]) == gross


def test_a_schema_that_the_book_pinned_changes_nothing(book: Path, tmp_path: Path, run: Run) -> None:
    """The tables follow the schemas of jobkit; an older copy in the book is a finding and no more."""
    run("export", tmp_path / "now", "--book", book, *ON)
    (book / "schema/job.schema.json").write_text('{"title": "older"}')
    assert run("export", tmp_path / "then", "--book", book, *ON).status == 0
    now, then = contents(tmp_path / "now"), contents(tmp_path / "then")
    assert then.pop("findings/year=0/findings.jsonl")
    assert now == then


def test_parquet_without_its_library_is_one_line(tmp_path: Path) -> None:
    before = "import sys; sys.modules['pyarrow'] = None; import importlib.util as u; f = u.find_spec; "
    before += "u.find_spec = lambda name, *more: None if name == 'pyarrow' else f(name, *more); "
    code = before + "from jobkit.cli.start.main import main; sys.exit(main(sys.argv[1:]))"
    words = ["--book", str(EXAMPLE), "export", str(tmp_path / "out"), "--format", "parquet"]
    done = subprocess.run([sys.executable, "-c", code, *words], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        "jobkit: parquet needs the package pyarrow; install it with `pip install 'jobkit[parquet]'`\n"
    )


def test_an_unknown_form_is_refused(tmp_path: Path, run: Run) -> None:
    ran = run("export", tmp_path / "out", "--format", "xml", "--book", EXAMPLE)
    assert (ran.status, ran.err) == (
        2,
        'jobkit: there is no format "xml" here; choose one of jsonl, parquet\n',
    )


def test_a_file_in_place_of_a_table_is_one_line(tmp_path: Path, run: Run) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out/jobs").write_text("mine")
    ran = run("export", tmp_path / "out", "--book", EXAMPLE, *ON)
    assert (ran.status, ran.err.count("\n")) == (2, 1)
    assert (tmp_path / "out/jobs").read_text() == "mine"


def test_a_revision_is_read_in_several_processes(
    book: Path, tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    forget_git_settings(monkeypatch)
    GitRepo.make(book).commit("As it is")
    run("export", tmp_path / "plain", "--book", book, *ON)
    monkeypatch.setattr(parallel, "_processes", lambda: 3)
    monkeypatch.setattr(parallel, "_WORTH_IT", 1)
    assert run("export", tmp_path / "rev", "--book", book, *ON, "--rev", "HEAD").status == 0
    plain, rev = contents(tmp_path / "plain"), contents(tmp_path / "rev")
    assert all(plain[name] == rev[name] for name in plain if "findings" not in name)


SPARK = {
    "text": "string",
    "number": "double",
    "flag": "boolean",
    "day": "date",
    "moment": "timestamp_ntz",
    "texts": "array<string>",
    "named texts": "array<struct<name:string,value:string>>",
    "named numbers": "array<struct<name:string,value:double>>",
    "count": "bigint",
}
ASK_SPARK = """
import json, sys
from pyspark.sql import SparkSession
spark = SparkSession.builder.master("local-cluster[2,1,1024]").config("spark.ui.enabled", "false").getOrCreate()
told = {}
for out in sys.argv[1:]:
    ddl = json.load(open(f"{out}/columns.json"))
    types = {}
    for table in ("jobs", "readings", "used"):
        read = spark.read.parquet if out.endswith("parquet") else spark.read.schema(ddl[table]["ddl"]).json
        read(f"{out}/{table}").createOrReplaceTempView(table)
        types[table] = {one.name: one.dataType.simpleString() for one in spark.table(table).schema}
    row = spark.sql("select count(*), sum(minutes), max(sent) from jobs").collect()[0]
    told[out] = list(map(str, row)), types
print(json.dumps(told))
spark.stop()
"""


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("java") is None, reason="the distributed engine needs Java")
def test_a_distributed_engine_reads_the_same_types_and_sums(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, run: Run
) -> None:
    """Spark with two workers, each a process of its own, as the README starts it."""
    pytest.importorskip("pyspark", reason="the distributed engine is not installed")
    folders = [tmp_path / form for form in FORMS]
    for out in folders:
        assert run("export", out, "--format", out.name, "--book", EXAMPLE, *ON).status == 0
    done = subprocess.run(
        [sys.executable, "-c", ASK_SPARK, *map(str, folders)],
        env={
            **os.environ, "PYSPARK_PYTHON": sys.executable, "SPARK_LOCAL_IP": "127.0.0.1",
            "JAVA_TOOL_OPTIONS": "-XX:TieredStopAtLevel=1 -XX:+UseSerialGC",  # for a short run: no slow optimising
        },
        capture_output=True, text=True, check=False, timeout=240,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    told = json.loads(done.stdout.strip().splitlines()[-1])
    for out in folders:
        row, types = told[str(out)]
        (asked,) = duck(out, "select count(*), sum(minutes), max(sent) from jobs", monkeypatch).fetchall()
        assert row == list(map(str, asked))
        for table, kinds in types.items():
            assert {name: kind for name, kind in kinds.items() if name != "year"} == {
                name: SPARK[kind] for name, kind in types_of(table).items()
            }
