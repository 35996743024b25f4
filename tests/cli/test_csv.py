"""CSV as an engine reads it: names as heads, money as numbers, UTF-8 whatever the terminal is."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import duckdb
import pytest

from tests.books import EXAMPLE
from tests.conftest import Run

DESIGN = "tarnhow-t7-16"
TABLES = {
    "summarise": ["summarise"],
    "week": ["week", "2026-W43"],
    "due": ["due"],
    "queue": ["queue"],
    "stock": ["stock"],
    "donors": ["stock", "--donors"],
    "earnings": ["earnings"],
    "earnings by work": ["earnings", "--by", "work"],
    "usual": ["usual", DESIGN],
    "usual at a point": ["usual", DESIGN, "--point", "VCORE"],
    "suspects": ["suspects", "--design", DESIGN],
    "comebacks": ["comebacks"],
    "trail": ["trail", "47"],
    "diff": ["diff"],
    "rules": ["rules"],
}
NUMBERS = {
    "summarise": ["charged", "age_days"],
    "week": ["charged", "unpaid"],
    "earnings": ["billed", "parts", "after_parts", "per_hour", "minutes"],
    "stock": ["cost"],
}


def table(name: str, run: Run, path: Path) -> duckdb.DuckDBPyRelation:
    words = TABLES[name]
    more = [] if name == "rules" else [*(["--on", "2026-11-20"] if name != "diff" else []), "--book", EXAMPLE]
    ran = run(*words, *more, "--format", "csv")
    assert ran.status == 0, ran.err
    path.write_bytes(ran.out.encode())
    return duckdb.read_csv(str(path), header=True)


def asked(found: duckdb.DuckDBPyRelation, question: str) -> list[tuple[Any, ...]]:
    answer = found.query("t", question)
    assert answer is not None
    return answer.fetchall()


@pytest.mark.parametrize("name", TABLES)
def test_heads_need_no_quoting(name: str, run: Run, tmp_path: Path) -> None:
    found = table(name, run, tmp_path / "t.csv")
    heads = found.columns
    assert len(set(heads)) == len(heads)
    assert found.project(", ".join(heads)).columns == heads


@pytest.mark.parametrize("name", NUMBERS)
def test_money_is_a_number_beside_its_currency(name: str, run: Run, tmp_path: Path) -> None:
    found = table(name, run, tmp_path / "t.csv")
    types = dict(zip(found.columns, map(str, found.types), strict=True))
    assert {types[column] for column in NUMBERS[name]} <= {"DOUBLE", "BIGINT"}
    assert asked(found, "select list(distinct currency) from t where currency is not null") == [(["EUR"],)]


def test_a_sum_over_the_csv_is_the_sum_of_the_prices(run: Run, tmp_path: Path) -> None:
    found = table("summarise", run, tmp_path / "t.csv")
    jobs = run("summarise", "--on", "2026-11-20", "--book", EXAMPLE, "--format", "json").data["jobs"]
    told = sum(float(job["charged"].split()[0]) for job in jobs if job["charged"])
    assert asked(found, "select round(sum(charged), 2) from t") == [(round(told, 2),)]


DUE = [sys.executable, "-m", "jobkit", "--no-cache", "due", "--book", str(EXAMPLE), "--on", "2026-11-20"]


@pytest.mark.parametrize("form", ["csv", "ics"])
@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8"])
def test_data_is_utf_8_whatever_the_terminal_is(form: str, encoding: str) -> None:
    ran = [
        subprocess.run(
            [*DUE, "--format", form],
            env={**os.environ, "PYTHONIOENCODING": letters},
            capture_output=True,
            check=True,
        ).stdout
        for letters in (encoding, "utf-8")
    ]  # fmt: skip
    assert ran[0] == ran[1]
    assert ran[0].decode("utf-8")
