"""The schemas of exported tables follow from the columns; `pytest --renew-golden` writes them."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest

from jobkit.book.read.job import read_job
from jobkit.jobs.bench import Bench
from jobkit.pages.tables.export import NAMES, rows_of, schema_of
from tests.schema.filled import exemplary

JOB, TROUBLES = read_job("jobs/2026/K26-0047.toml", exemplary("job"))
MADE = [table for table in NAMES if table != "findings"]


@pytest.mark.parametrize("table", MADE)
def test_the_schema_in_the_repository_is_that_of_the_columns(
    table: str, golden: Callable[[str, str], None]
) -> None:
    assert TROUBLES == ()
    example = dict(rows_of(JOB, Bench()))[table]
    text = json.dumps({**schema_of(table), "examples": [example]}, ensure_ascii=False, indent=2)
    golden(f"../../schema/export/{table}.schema.json", f"{text}\n")
