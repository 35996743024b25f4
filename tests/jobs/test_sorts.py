"""The one table of entries agrees with the schema and with the records: nothing of either is left out."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from jobkit.book.read.job import read_job
from jobkit.book.schema.entry_keys import all_keys, every_key
from jobkit.book.write.entry import entry_of
from jobkit.jobs.attachments import attachments
from jobkit.jobs.job import Job, Price
from jobkit.jobs.sorts import ENTRIES, ROWS, TABLES, Sort
from tests.schema.filled import filled
from tests.schema.schemas import schema

PATH = "jobs/2026/K26-0047.toml"
JOB = read_job(PATH, filled("job")).job


def by_path(row: Sort) -> str:
    return ".".join(row.path)


def test_every_table_of_the_schema_has_a_row_in_the_same_order() -> None:
    tables = [path for path, key in every_key("job") if key.form in {"table", "tables"}]
    assert [row.path for row in ROWS] == tables
    assert [row.path for row in ENTRIES] == [path for path, key in every_key("job") if key.form == "tables"]


def test_every_list_of_a_job_holds_a_sort_of_entry() -> None:
    fields = [*Job("", "")._asdict().items(), *Price()._asdict().items()]
    assert sorted(name for name, value in fields if value == ()) == sorted(sort.field for sort in ENTRIES)
    assert {row.field for row in TABLES} <= {*Job._fields}


@pytest.mark.parametrize("row", ROWS, ids=by_path)
def test_a_row_names_keys_of_its_table(row: Sort) -> None:
    keys = {key.name: key for key in all_keys("job", row.path)}
    named = {*row.words, *row.names, *row.same, *row.files, *filter(None, (row.day, row.end, row.opened_by))}
    assert named <= keys.keys()
    assert {keys[key].form for key in (row.day, row.end) if key} <= {"day", "moment"}
    if row.phrase:
        assert {"at", "by"} <= keys.keys()


@pytest.mark.parametrize("row", ROWS, ids=by_path)
def test_a_row_names_every_key_that_holds_a_file(row: Sort) -> None:
    properties = _definition(row.path)["properties"]
    assert row.files == tuple(key for key, part in properties.items() if _holds_files(part))


def _holds_files(part: Any) -> bool:
    return bool(part.get("$ref") == "#/$defs/attachment" or part.get("items") == {"$ref": "#/$defs/photo"})


def _definition(path: tuple[str, ...]) -> Any:
    part: Any = schema("job")
    for name in path:
        part = part["properties"][name]
        reference = (part.get("items") or part)["$ref"]
        part = schema("job")["$defs"][reference.removeprefix("#/$defs/")]
    return part


def test_each_file_that_a_job_names_is_found() -> None:
    doc = filled("job")
    seen, pad, work, trial = (doc[name][0] for name in ("seen", "pad", "work", "trial"))
    photos = [one["photos"][0]["file"] for one in (doc["intake"], seen, pad, work)]
    assert [name for _, name in attachments(JOB)] == [
        photos[0], seen["log"], photos[1], photos[2], work["heat"], photos[3], trial["log"],
        doc["firmware"]["saved"], doc["message"][0]["log"],
    ]  # fmt: skip


@pytest.mark.parametrize("sort", ENTRIES, ids=by_path)
def test_an_entry_is_written_as_it_was_read(sort: Sort) -> None:
    (entry,) = sort.of(JOB)
    doc = filled("job")
    *outer, name = sort.path
    table: Any = doc[outer[0]] if outer else doc
    keys = [*table[name][0]]
    table[name] = [_as_the_gate_sees(entry_of(sort, entry))]
    assert [*table[name][0]] == keys
    assert sort.of(read_job(PATH, doc).job) == (entry,)


def _as_the_gate_sees(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _as_the_gate_sees(one) for key, one in value.items()}
    if isinstance(value, Decimal):
        return float(value)
    return value.isoformat() if isinstance(value, date) else value


@pytest.mark.parametrize("sort", ENTRIES, ids=by_path)
def test_what_is_usual_is_not_written(sort: Sort) -> None:
    assert entry_of(sort, sort.record(())) == {}
