"""Whatever becomes of the folder of kept answers, the answer is given, with a line about it at most."""

from __future__ import annotations

import errno
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from jobkit.book.cache.store import Keep
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import EXAMPLE
from tests.conftest import Run

LINT = ("lint", "--on", "2026-11-20")


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    forget_git_settings(monkeypatch)
    shutil.copytree(EXAMPLE, tmp_path / "book")
    GitRepo.make(tmp_path / "book").commit("The example")
    return tmp_path / "book"


def kept(book: Path) -> list[Path]:
    return sorted((book / ".git/jobkit").glob("*"))


def test_answers_are_kept_in_gits_folder_and_nowhere_else(book: Path, run: Run) -> None:
    before = subprocess.run(
        ["git", "status", "--porcelain"], cwd=book, capture_output=True, check=True
    ).stdout
    run("--book", book, *LINT)
    run("--book", book, "week")
    assert [path.name for path in kept(book)] == ["answer", "checks", "facts", "marks"]
    after = subprocess.run(["git", "status", "--porcelain"], cwd=book, capture_output=True, check=True).stdout
    assert after == before == b""


@pytest.mark.parametrize("way", ["option", "environment"])
def test_nothing_is_kept_where_that_is_asked_for(
    way: str, book: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    if way == "environment":
        monkeypatch.setenv("JOBKIT_NO_CACHE", "1")
    assert run(*(["--no-cache"] if way == "option" else []), "--book", book, *LINT).err == ""
    assert kept(book) == []


@pytest.mark.parametrize("content", [b"", b"not ours", None], ids=["empty", "foreign", "a bit flipped"])
def test_a_damaged_one_is_made_anew_and_said_once(content: bytes | None, book: Path, run: Run) -> None:
    fresh = run("--book", book, *LINT)
    for path in kept(book):
        data = bytearray(path.read_bytes())
        data[len(data) // 2] ^= 1
        path.write_bytes(bytes(data) if content is None else content)
    ran = run("--book", book, *LINT)
    assert (ran.status, ran.out) == (fresh.status, fresh.out)
    assert ran.err.count("\n") == 1
    assert "is damaged or not jobkit's own; it is made anew" in ran.err
    assert run("--book", book, *LINT) == fresh


@pytest.mark.parametrize("trouble", [errno.ENOSPC, errno.EROFS, errno.EACCES, errno.EDQUOT])
def test_where_nothing_can_be_written_the_answer_is_given_all_the_same(
    trouble: int, book: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    fresh = run("--no-cache", "--book", book, *LINT)

    def refuse(*_: object, **__: object) -> None:
        raise OSError(trouble, os.strerror(trouble))

    monkeypatch.setattr(os, "mkdir", refuse)
    for _ in range(2):
        ran = run("--book", book, *LINT)
        assert (ran.status, ran.out) == (fresh.status, fresh.out)
        assert ran.err.count("\n") == 1
        assert "nothing can be kept: " in ran.err


def test_a_folder_where_a_kept_file_should_be_is_no_reason_to_stop(book: Path, run: Run) -> None:
    fresh = run("--no-cache", "--book", book, *LINT)
    (book / ".git/jobkit/answer").mkdir(parents=True)
    ran = run("--book", book, *LINT)
    assert (ran.status, ran.out, ran.err.count("\n")) == (fresh.status, fresh.out, 1)


def test_two_processes_share_it(book: Path, run: Run) -> None:
    """Each reads and writes while the others do; every one of them gives the same answer."""
    fresh = run("--no-cache", "--book", book, *LINT, "--format", "json")
    root = str(Path(__file__).parent.parent.parent)
    words = [sys.executable, "-m", "jobkit", *LINT, "--format", "json"]
    for _ in range(2):
        shutil.rmtree(book / ".git/jobkit", ignore_errors=True)
        running = [
            subprocess.Popen(words, cwd=book, env={**os.environ, "PYTHONPATH": root}, stdout=subprocess.PIPE)
            for _ in range(4)
        ]
        for process in running:
            out, _ = process.communicate()
            assert (process.returncode, out.decode()) == (fresh.status, fresh.out)
    assert not [path for path in kept(book) if path.name.startswith(".")]


def test_books_of_one_repository_are_kept_apart(
    tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    forget_git_settings(monkeypatch)
    for name in ("one", "other"):
        shutil.copytree(EXAMPLE, tmp_path / "both" / name)
    GitRepo.make(tmp_path / "both").commit("Two benches")
    job = tmp_path / "both/other/jobs/2026/K26-0047.toml"
    job.write_text(job.read_text("utf-8").replace("received", "recieved", 1), "utf-8")
    for _ in range(2):
        assert run("--book", tmp_path / "both/one", *LINT).status == 0
        assert run("--book", tmp_path / "both/other", *LINT).status == 1


def test_several_books_are_checked_in_one_call(tmp_path: Path, run: Run) -> None:
    for name in ("one", "other"):
        shutil.copytree(EXAMPLE, tmp_path / name)
    job = tmp_path / "other/jobs/2026/K26-0047.toml"
    job.write_text(job.read_text("utf-8").replace("received", "recieved", 1), "utf-8")
    alone = [run("--book", tmp_path / name, *LINT, "--format", "json") for name in ("one", "other")]
    books = ("--book", tmp_path / "one", "--book", tmp_path / "other")
    ran = run(*books, *LINT, "--format", "json")
    assert ran.status == 1
    assert ran.data["files"] == sum(one.data["files"] for one in alone)
    assert [finding["file"] for finding in ran.data["findings"]] == [
        f"{name}/{finding['file']}"
        for name, one in zip(("one", "other"), alone, strict=True)
        for finding in one.data["findings"]
    ]
    assert run(*books, *LINT, "jobs").status == 2


def test_a_commit_alone_changes_what_is_sealed(book: Path, run: Run) -> None:
    """Index and files stay as they are; only what they are compared with has moved on."""
    repo = GitRepo(book)
    job = book / "jobs/2026/K26-0047.toml"
    job.write_text(re.sub(r"^(minutes\s*= )", r"\g<1>1", job.read_text("utf-8"), flags=re.MULTILINE), "utf-8")
    repo.git("add", "-A")
    staged = [run(*way, "--book", book, *LINT, "--format", "json") for way in ((), ("--no-cache",))]
    assert "sealed" in {finding["rule"] for finding in staged[0].data["findings"]}
    assert staged[0] == staged[1]
    repo.git("commit", "-q", "-m", "So it is")
    after = [run(*way, "--book", book, *LINT, "--format", "json") for way in ((), ("--no-cache",))]
    assert "sealed" not in {finding["rule"] for finding in after[0].data["findings"]}
    assert after[0] == after[1]


@pytest.mark.parametrize("where", ["in the book", "in git's folder"])
def test_a_file_that_git_converts_is_not_taken_for_its_blob(where: str, book: Path, run: Run) -> None:
    """One blob, one clean working tree, two contents: what is kept of the first says nothing of the second."""
    repo = GitRepo(book)
    run("--book", book, *LINT)
    attributes = book / (".gitattributes" if where == "in the book" else ".git/info/attributes")
    attributes.parent.mkdir(exist_ok=True)
    attributes.write_text("*.toml filter=broken\n", "utf-8")
    repo.git("config", "filter.broken.smudge", "sed s/received/recieved/")
    repo.git("config", "filter.broken.clean", "sed s/recieved/received/")
    job = book / "jobs/2026/K26-0047.toml"
    job.unlink()
    repo.git("checkout", "-q", "--", "jobs/2026/K26-0047.toml")
    assert "recieved" in job.read_text("utf-8")
    # Old enough for git to trust its times, and not to compare contents again.
    os.utime(job, (1_700_000_000, 1_700_000_000))
    repo.attempt("update-index", "--refresh")
    ran = run("--book", book, *LINT)
    assert ran.status == 1
    assert ran == run("--no-cache", "--book", book, *LINT)


def test_what_is_read_ahead_is_given_once_and_then_read_again(tmp_path: Path) -> None:
    said: list[str] = []
    keep = Keep(str(tmp_path), "jobkit", said.append)
    keep.store("facts", ("first",))
    keep.read_ahead("facts")
    keep.store("facts", ("second",))
    assert [keep.load("facts"), keep.load("facts"), keep.load("other")] == [("first",), ("second",), None]
    assert not said
