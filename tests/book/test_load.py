"""Reading is total: whatever is in a file, the rest of it and of the book is read."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jobkit.book.read.job import read_job
from jobkit.book.read.load import load_job, open_book
from jobkit.book.shelf.opening import Tree
from jobkit.jobs.digest import facts_of
from tests.books import JOB, JOB_PATH, make_book
from tests.conftest import Run

GARBAGE = {
    "broken TOML": b"id = \n",
    "not UTF-8": "title = 'Möbius'".encode("latin-1"),
    "UTF-16": JOB.encode("utf-16"),
    "empty": b"",
    "half written": JOB.encode()[:200],
    "zero bytes": b"\0\0\0\0",
    "binary": bytes(range(256)),
    "unfinished merge": b"<<<<<<< ours\nid = 1\n=======\nid = 2\n>>>>>>> theirs\n",
    "a list where a table belongs": b"board = [1, 2]\nreading = 5\n",
    "scalars in an array of tables": b'reading = [1, "two", {point = "VMEM"}]\n',
}


@pytest.mark.parametrize("content", GARBAGE.values(), ids=GARBAGE)
def test_a_broken_file_is_a_finding_and_stops_no_other(tmp_path: Path, run: Run, content: bytes) -> None:
    other = JOB.replace("K26-0001", "K26-0002").replace("sent = 2026-10-12", "sent = 2026-10-01")
    book = make_book(tmp_path, {JOB_PATH: content, "jobs/2026/K26-0002.toml": other})
    ran = run("lint", "--book", book, "--format", "json")
    by_file: dict[str, set[str]] = {}
    for finding in ran.data["findings"]:
        by_file.setdefault(finding["file"], set()).add(finding["rule"])
    assert "schema" in by_file[JOB_PATH]
    assert "date-order" in by_file["jobs/2026/K26-0002.toml"]
    assert ran.status == 1
    assert run("week", "2026-W41", "--book", book).status == 0


def test_a_byte_order_mark_does_no_harm(tmp_path: Path, run: Run) -> None:
    book = make_book(tmp_path, {JOB_PATH: b"\xef\xbb\xbf" + JOB.encode()})
    assert run("lint", "--book", book, JOB_PATH and book / JOB_PATH).status == 0


def test_a_folder_named_like_a_job_is_a_finding(tmp_path: Path, run: Run) -> None:
    book = make_book(tmp_path)
    (book / "jobs/2026/K26-0002.toml").mkdir()
    ran = run("lint", "--book", book)
    assert "K26-0002.toml is a folder" in ran.out
    assert ran.status == 1


def test_what_is_broken_is_absent_and_the_rest_is_there() -> None:
    text = JOB.replace('"23.4 Ω"', '"23.4 kg"').replace("minutes = 75", 'minutes = "long"')
    loaded = load_job(JOB_PATH, text.encode())
    assert loaded.job is not None
    assert [reading.value and reading.value.text for reading in loaded.job.readings] == ["0.4 Ω", None]
    assert loaded.job.readings[1].point == "VMEM"
    assert loaded.job.work[0].minutes is None
    assert {trouble.place for trouble in loaded.troubles} == {("reading", 1, "value"), ("work", 0, "minutes")}
    assert loaded.job.is_broken("reading")
    assert not loaded.job.is_broken("dates", "sent")


def test_the_example_book_is_read_without_trouble() -> None:
    book = open_book(Tree(Path(__file__).parent.parent.parent / "jobs_example"))
    assert [(file.path, file.troubles) for file in book.own if file.troubles] == []
    assert book.bench.settings.zone == "Atlantic/Reykjavik"
    assert len(book.bench.designs) >= 3


_SCALARS = (
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=True)
    | st.text(max_size=8)
    | st.just("2026-10-05")
)
_ANYTHING = st.recursive(
    _SCALARS.filter(lambda value: value is not None),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=8,
)
_TABLES = (
    "board",
    "intake",
    "dates",
    "reading",
    "work",
    "used",
    "trial",
    "price",
    "warranty",
    "wait",
    "comeback",
)
_KEYS = (
    "at",
    "point",
    "value",
    "limit",
    "kind",
    "received",
    "sent",
    "charged",
    "agreed",
    "minutes",
    "did",
    "for",
    "of",
)
_ROW = st.dictionaries(st.sampled_from(_KEYS), _ANYTHING, max_size=4)
_DOCS = st.dictionaries(
    st.sampled_from((*_TABLES, "id", "format", "title")), _ANYTHING | _ROW | st.lists(_ROW, max_size=2)
)


@given(_DOCS)
@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much]
)
def test_any_document_at_all_is_read(doc: dict[str, Any]) -> None:
    job, troubles = read_job(JOB_PATH, doc)
    assert troubles, "no such document lacks nothing"
    assert facts_of(job).path == JOB_PATH
