"""What lies on the desk: beside the book, never in it."""

from __future__ import annotations

from pathlib import Path

import pytest

from jobkit.book.write.session import KEPT, Clock, Desk, DeskFiles, Walking, Written
from jobkit.book.write.splices import Splice
from tests.at_the_bench import bench_book
from tests.book.repo import GitRepo

WRITTEN = Written("jobs/2026/K26-0007.toml", "reading of VMEM", (Splice(3, "", "[[reading]]\n"),))


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a book outside git, with a folder for state of its own."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return bench_book(tmp_path / "book")


def test_what_is_remembered_is_there_the_next_time(book: Path) -> None:
    assert DeskFiles(book).look() == Desk()
    DeskFiles(book).remember(job="K26-0007", meters={"resistance": "dmm-2"})
    DeskFiles(book).remember(
        walking=Walking("K26-0007", "proof"), clock=Clock("K26-0007", "2026-10-22T10:05:00")
    )
    desk = DeskFiles(book).look()
    assert desk == Desk(
        "K26-0007",
        "",
        {"resistance": "dmm-2"},
        Walking("K26-0007", "proof"),
        Clock("K26-0007", "2026-10-22T10:05:00"),
    )


def test_writings_come_back_last_first(book: Path) -> None:
    files = DeskFiles(book)
    assert files.last() is None
    made = Written("jobs/2026/K26-0008.toml", "booked in", (), "format = 1\n")
    files.note(WRITTEN)
    files.note(made)
    assert files.last() == made
    files.forget_last()
    assert files.last() == WRITTEN
    files.forget_last()
    assert files.last() is None


def test_the_list_of_writings_does_not_grow_for_ever(book: Path) -> None:
    files = DeskFiles(book)
    for number in range(KEPT + 5):
        files.note(WRITTEN._replace(what=str(number)))
    (log,) = (book.parent / "state" / "jobkit").glob("written-*.jsonl")
    assert len(log.read_text().splitlines()) == KEPT
    last = files.last()
    assert last
    assert last.what == str(KEPT + 4)


@pytest.mark.parametrize(
    "content", [b"", b"{", b"[]", b'{"job": 1, "clock": 3}', b"\xff", b'{"walking": ["a"]}']
)
def test_a_damaged_desk_is_an_empty_one(book: Path, content: bytes) -> None:
    files = DeskFiles(book)
    files.remember(job="K26-0007")
    files.note(WRITTEN)
    for file in (book.parent / "state" / "jobkit").iterdir():
        file.write_bytes(content)
    assert files.look().clock is None
    assert files.last() is None


def test_in_git_it_lies_in_the_git_directory_of_the_working_tree(tmp_path: Path) -> None:
    repo = GitRepo.make(tmp_path / "bench")
    bench_book(repo.root)
    repo.commit()
    repo.git("worktree", "add", "-q", str(tmp_path / "other"))
    DeskFiles(repo.root).remember(job="K26-0007")
    assert DeskFiles(repo.root).look().job == "K26-0007"
    assert DeskFiles(tmp_path / "other").look().job == ""
    assert list((repo.root / ".git" / "jobkit").glob("desk-*.json"))
    assert repo.git("status", "--short") == ""


def test_two_books_in_one_repository_have_desks_of_their_own(tmp_path: Path) -> None:
    repo = GitRepo.make(tmp_path / "both")
    for name in ("left", "right"):
        bench_book(repo.root / name)
    DeskFiles(repo.root / "left").remember(job="K26-0007")
    assert DeskFiles(repo.root / "right").look() == Desk()
