"""The journal: what is open, last first, and nothing in it that a stranger wrote does any harm."""

from __future__ import annotations

import json
import os
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from jobkit.book.disk.errors import DiskError
from jobkit.book.edit import append_entry
from jobkit.book.write.journal import MOST_BYTES, NO_FILE, Journal, Note, digest
from jobkit.book.write.splices import Splice, splices
from jobkit.book.write.undo import UndoError, last_unit, plan, take_back
from tests.at_the_bench import JOB, JOB_PATH, bench_book
from tests.books import put

AFTER = append_entry(JOB, "reading", {"value": "1 Ω"})
NOW = AFTER + "# more\n"
NOTE = Note(
    id="1",
    unit="u1",
    path=JOB_PATH,
    what="reading",
    before=digest(JOB),
    after=digest(AFTER),
    splices=splices(JOB, AFTER),
    hand="ida",
    at=datetime(2026, 10, 22, 10, 5),
    session={"clock": (None, ["K26-0007", "2026-10-22T10:05:00"])},
)


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a book outside git, with a folder for state of its own."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return bench_book(tmp_path / "book")


def test_what_is_noted_is_read_back(book: Path) -> None:
    assert Journal(book).notes() == {}
    Journal(book).note(NOTE)
    Journal(book).undoing(NOTE, "abc")
    assert Journal(book).notes() == {"1": NOTE._replace(leaves="abc")}
    Journal(book).done("1")
    assert Journal(book).notes() == {}


def test_the_last_unit_of_a_hand_is_found_newest_first() -> None:
    notes = [
        NOTE,
        NOTE._replace(id="2", unit="u2"),
        NOTE._replace(id="3", unit="u2"),
        NOTE._replace(id="4", unit="u3", hand="tor"),
    ]
    assert [note.id for note in last_unit(notes, "ida")] == ["3", "2"]
    assert [note.id for note in last_unit(notes, "tor")] == ["4"]
    assert last_unit(notes, "bo") == ()


def test_a_long_journal_loses_its_oldest_notes_and_nothing_else(book: Path) -> None:
    long = NOTE._replace(splices=(Splice(0, "", "x" * 10_000),))
    for number in range(MOST_BYTES // 10_000 + 10):
        Journal(book).note(long._replace(id=str(number), unit=str(number)))
    assert _file(book).stat().st_size < MOST_BYTES + 30_000
    left = list(Journal(book).notes())
    assert left == [str(number) for number in range(int(left[0]), MOST_BYTES // 10_000 + 10)]
    assert len(left) >= 40


def test_a_long_unit_is_never_cut(book: Path) -> None:
    journal = Journal(book)
    long = NOTE._replace(splices=(Splice(0, "", "x" * 100_000),))
    for number in range(20):
        journal.note(long._replace(id=str(number)))
    Journal(book).note(NOTE._replace(id="more", unit="u2"))
    assert len(last_unit(Journal(book).notes().values(), "ida")) == 1
    assert list(Journal(book).notes()) == [*map(str, range(20)), "more"]


@pytest.mark.parametrize("length", [1, 40, 200])
def test_a_line_that_was_cut_off_is_passed_over(book: Path, length: int) -> None:
    Journal(book).note(NOTE)
    Journal(book).note(NOTE._replace(id="2"))
    content = _file(book).read_bytes()
    first = content.index(b"\n") + 1
    _file(book).write_bytes(content[: first + length])
    assert list(Journal(book).notes()) == ["1"]
    Journal(book).note(NOTE._replace(id="3"))
    assert list(Journal(book).notes()) == ["1", "3"]


@pytest.mark.parametrize(
    "line",
    [
        b"",
        b"[]",
        b"3",
        b"{}",
        b"\xff\xfe",
        b"[" * 200_000,
        b'{"done": 3}',
        b'{"undoing": "1", "leaves": 4}',
        b"\0" * 50,
    ],
    ids=[
        "empty",
        "list",
        "number",
        "nothing",
        "not UTF-8",
        "deep",
        "number of a note",
        "odd digest",
        "zeros",
    ],
)
def test_a_line_that_is_no_note_is_passed_over(book: Path, line: bytes) -> None:
    Journal(book).note(NOTE)
    with _file(book).open("ab") as file:
        file.write(line + b"\n")
    assert Journal(book).notes() == {"1": NOTE}


ODD: list[Any] = [
    3,
    [],
    "note",
    {},
    {"id": 3},
    {"path": None},
    {"path": "jobs/\udc80"},
    {"what": {"a": 1}},
    {"splices": "abc"},
    {"splices": [["a", "b", "c"]]},
    {"splices": [[0, "a"]]},
    {"splices": [[-1, "", "a"]]},
    {"splices": [[True, "", "a"]]},
    {"splices": [[0, "\ud800", "a"]]},
    {"at": "soon"},
    {"at": 3},
    {"at": "2026-10-22T10:05:00+02:00"},
    {"session": 3},
    {"session": {"clock": 1}},
    {"session": {"clock": [1, 2, 3]}},
    {"leaves": 3},
    {"more": 1},
]


@pytest.mark.parametrize("odd", ODD, ids=map(repr, ODD))
def test_an_odd_note_is_known_as_one_and_stops_undo(book: Path, odd: Any) -> None:
    Journal(book).note(NOTE)
    data = json.loads(_file(book).read_bytes())["note"]
    wrong = {**data, **odd} if isinstance(odd, dict) and odd else odd
    with _file(book).open("a") as file:
        file.write(json.dumps({"note": wrong}) + "\n")
    notes = Journal(book).notes()
    assert list(notes.values()) == [NOTE, None]
    with pytest.raises(UndoError, match="cannot be read"):
        last_unit(notes.values(), "ida")
    Journal(book).done(list(notes)[-1])
    assert Journal(book).notes() == {"1": NOTE}


def test_a_journal_of_any_size_is_not_read(book: Path) -> None:
    Journal(book).note(NOTE)
    os.truncate(_file(book), 10**9)
    with pytest.raises(DiskError, match="larger than 64 MB"):
        Journal(book).notes()


# What a note says of the book is not believed.


def _take_back(book: Path, note: Note) -> None:
    for step in plan(book, [note]):
        take_back(book, Journal(book), step)


def _plan(book: Path, **changes: Any) -> str:
    """Plan to take back a forged note; it must be refused, with nothing changed. Give the message."""
    before = {path: path.read_bytes() for path in book.parent.rglob("*") if path.is_file()}
    with pytest.raises((UndoError, DiskError)) as refused:
        _take_back(book, NOTE._replace(**changes))
    for path, content in before.items():
        assert path.read_bytes() == content
    return refused.value.message


@pytest.mark.parametrize(
    "path",
    [
        "../victim.toml",
        "jobs/../../victim.toml",
        "jobs/2026/../../../victim.toml",
        "./bench.toml",
        "jobs//2026/x.toml",
        ".git/config",
        ".gitignore",
        "README.md",
        "schema/../bench.toml",
        "schema/x.json",
        "jobs/2026/.hidden.toml",
        "jobs\\2026\\K26-0007.toml",
        "jobs/2026/a\\..\\..\\x.toml",
        "bench.toml\0",
        "C:/bench.toml",
    ],
)
@pytest.mark.parametrize("how", ["edit", "delete", "make"])
def test_no_file_but_those_of_the_book_is_touched(book: Path, path: str, how: str) -> None:
    for victim in (book.parent / "victim.toml", book / ".gitignore", book / "README.md"):
        put(victim, AFTER)
    changes: dict[str, Any] = {"path": path}
    if how == "delete":
        changes |= {"before": NO_FILE, "splices": ()}
    if how == "make":
        changes |= {"after": NO_FILE, "splices": (Splice(0, JOB, ""),)}
    assert "this is not a file of the book" in _plan(book, **changes)


def test_an_absolute_path_is_refused(book: Path) -> None:
    put(book.parent / "victim.toml", AFTER)
    assert "this is not a file of the book" in _plan(book, path=str(book.parent / "victim.toml"))


@pytest.mark.parametrize("where", ["file", "folder"])
def test_no_link_is_followed(book: Path, where: str) -> None:
    outside = book.parent / "outside"
    put(outside / "K26-0007.toml", AFTER)
    if where == "file":
        (book / JOB_PATH).unlink()
        (book / JOB_PATH).symlink_to(outside / "K26-0007.toml")
    else:
        (book / JOB_PATH).unlink()
        (book / "jobs/2026").rmdir()
        (book / "jobs/2026").symlink_to(outside)
    assert "is a symbolic link, which jobkit does not follow" in _plan(book)


@pytest.mark.parametrize("kind", ["a named pipe", "a folder"])
def test_nothing_but_a_plain_file_is_opened(book: Path, kind: str) -> None:
    (book / JOB_PATH).unlink()
    os.mkfifo(book / JOB_PATH) if kind == "a named pipe" else (book / JOB_PATH).mkdir()
    assert f"{JOB_PATH} is {kind}" in _plan(book)


@pytest.mark.parametrize(
    "changes",
    [
        pytest.param({"before": NO_FILE, "splices": ()}, id="delete what was changed"),
        pytest.param({"before": NO_FILE, "splices": (), "after": "0" * 64}, id="delete by another digest"),
        pytest.param({"splices": (Splice(3, "x", "no such text"),)}, id="lines that are not there"),
        pytest.param({"splices": (Splice(10**400, "x", "[dates]\n"),), "after": digest(NOW)}, id="far out"),
        pytest.param({"splices": (Splice(0, "x\n", ""),)}, id="lines out of nothing"),
        pytest.param({"after": NO_FILE, "splices": (Splice(0, "x", ""),)}, id="a file that is there"),
        pytest.param({"splices": (Splice(0, "[\n", JOB),), "after": "1"}, id="no TOML left"),
    ],
)
def test_contents_must_match(book: Path, changes: dict[str, Any]) -> None:
    put(book / JOB_PATH, NOW)
    assert "was changed after" in _plan(book, **changes)


def test_a_note_whose_digests_do_not_fit_its_lines_is_refused(book: Path) -> None:
    put(book / JOB_PATH, AFTER)
    assert "does not fit the file" in _plan(book, before="0" * 64)


def _file(book: Path) -> Path:
    (file,) = (book.parent / "state" / "jobkit").glob("written-*.jsonl")
    return file
