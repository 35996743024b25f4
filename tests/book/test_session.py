"""What is remembered beside the book, never in it; what comes from a stranger is nothing but nothing."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from jobkit.book.disk.errors import DiskError
from jobkit.book.write.session import Clock, Session, SessionFiles, Walking
from tests.at_the_bench import bench_book
from tests.book.repo import GitRepo

FULL = Session(
    "K26-0007",
    "ida",
    {"resistance": "dmm-2"},
    Walking("K26-0007", "proof", "2026-10-22T10:05:00", 3),
    Clock("K26-0007", "2026-10-22T10:05:00"),
    {"K26-0007": ("c-001", "No picture", "No picture since Monday", "R3-0001", "2026-10-19")},
)


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a book outside git, with a folder for state of its own."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return bench_book(tmp_path / "book")


def test_what_is_remembered_is_there_the_next_time(book: Path) -> None:
    assert SessionFiles(book).read() == Session()
    for key, value in FULL._asdict().items():
        SessionFiles(book).remember(**{key: value})
    assert SessionFiles(book).read() == FULL


@pytest.mark.parametrize(
    "content",
    [b"", b"{", b"[]", b"3", b"null", b"\xff", b"[" * 100_000, b'{"job": 1e999999}'],
    ids=["empty", "cut off", "list", "number", "null", "not UTF-8", "deep", "infinite"],
)
def test_a_damaged_file_is_as_good_as_none(book: Path, content: bytes) -> None:
    SessionFiles(book).remember(job="K26-0007")
    _file(book).write_bytes(content)
    assert SessionFiles(book).read() == Session()
    SessionFiles(book).remember(by="ida")
    assert SessionFiles(book).read() == Session(by="ida")


@pytest.mark.parametrize(
    ("key", "kept"),
    [
        ("job", 1),
        ("job", "K26\u001b[2J"),
        ("job", "x" * 1000),
        ("by", None),
        ("by", ["ida"]),
        ("by", "ida\nmin = 3"),
        ("meters", []),
        ("meters", {"resistance": 1}),
        ("meters", {"resistance": "\u001b]0;x\u0007"}),
        ("walking", ["a"]),
        ("walking", ["K26-0007", "proof", "soon", 3]),
        ("walking", {"job": "K26-0007"}),
        ("clock", 3),
        ("clock", ["K26-0007", "now"]),
        ("clock", ["K26-0007", "2026-10-22T10:05:00+02:00"]),
        ("clock", ["K26-0007", "2026-10-22T10:05:00", 5]),
        ("clock", [["K26-0007"], "2026-10-22T10:05:00"]),
        ("known", [1]),
        ("known", {"K26-0007": "c-001"}),
        ("known", {"K26-0007": ["c-001", "a", "b", "c"]}),
        ("known", {"K26-0007": ["c-001", "a", "b", "c", 5]}),
        ("known", {"K26\u001b[2J": ["c-001", "a", "b", "c", "d"]}),
    ],
)
def test_a_value_of_another_form_is_not_remembered_and_the_others_are(
    book: Path, key: str, kept: object
) -> None:
    SessionFiles(book).remember(**FULL._asdict())
    data = json.loads(_file(book).read_text("utf-8"))
    _file(book).write_text(json.dumps({**data, key: kept, "more": [1]}))
    assert SessionFiles(book).read() == FULL._replace(**{key: getattr(Session(), key)})


def test_in_git_it_is_in_the_git_directory_of_the_working_tree(tmp_path: Path) -> None:
    repo = GitRepo.make(tmp_path / "bench")
    bench_book(repo.root)
    repo.commit()
    repo.git("worktree", "add", "-q", str(tmp_path / "other"))
    SessionFiles(repo.root).remember(job="K26-0007")
    assert SessionFiles(repo.root).read().job == "K26-0007"
    assert SessionFiles(tmp_path / "other").read().job == ""
    assert list((repo.root / ".git" / "jobkit").glob("session-*.json"))
    assert repo.git("status", "--short") == ""


def test_two_books_in_one_repository_have_sessions_of_their_own(tmp_path: Path) -> None:
    repo = GitRepo.make(tmp_path / "both")
    for name in ("left", "right"):
        bench_book(repo.root / name)
    SessionFiles(repo.root / "left").remember(job="K26-0007")
    assert SessionFiles(repo.root / "right").read() == Session()


@pytest.mark.parametrize("kind", ["link", "dead link", "fifo", "folder", "linked folder"])
def test_nothing_but_a_plain_file_of_the_git_directory_is_read_or_written(tmp_path: Path, kind: str) -> None:
    repo = GitRepo.make(tmp_path / "bench")
    bench_book(repo.root)
    SessionFiles(repo.root).remember(job="K26-0007")
    folder = repo.root / ".git" / "jobkit"
    (file,) = folder.glob("session-*.json")
    victim = tmp_path / "victim"
    victim.write_text(file.read_text())
    if kind == "linked folder":
        folder.rename(tmp_path / "elsewhere")
        folder.symlink_to(tmp_path / "elsewhere")
        victim = tmp_path / "elsewhere" / file.name
    else:
        file.unlink()
        _make(kind, file, victim if kind == "link" else tmp_path / "nowhere")
    before = victim.read_bytes()
    assert SessionFiles(repo.root).read() == Session()
    with pytest.raises(DiskError):
        SessionFiles(repo.root).remember(by="ida")
    assert victim.read_bytes() == before
    assert not (tmp_path / "nowhere").exists()


def _make(kind: str, file: Path, target: Path) -> None:
    if kind == "fifo":
        os.mkfifo(file)
    elif kind == "folder":
        file.mkdir()
    else:
        file.symlink_to(target)


def _file(book: Path) -> Path:
    (file,) = (book.parent / "state" / "jobkit").glob("session-*.json")
    return file
