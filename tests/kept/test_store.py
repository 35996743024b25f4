"""Whatever becomes of the store, the answer is given, with a line about it at most; and only the user's own counts."""

from __future__ import annotations

import errno
import os
import random
import re
import shutil
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from jobkit.book import git
from jobkit.book.cache.facts_row import FactsRow
from jobkit.book.cache.folder import cache_of
from jobkit.book.cache.store import Cache, CheckRow, JobRow, SearchRow
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import EXAMPLE
from tests.conftest import Ran, Run
from tests.kept.part_of_example import part_of_example

LINT = ("lint", "--on", "2026-11-20")
ROWS = [
    JobRow(
        CheckRow(f"jobs/2026/K26-000{number}.toml", str(number) * 40, "alder-a1"),
        FactsRow("[]"),
        SearchRow("T7"),
    )
    for number in range(4)
]


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    forget_git_settings(monkeypatch)
    GitRepo.make(part_of_example(tmp_path / "book")).commit("Some jobs of the example")
    return tmp_path / "book"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give the user an empty folder for stores."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache/jobkit"


def stores(folder: Path) -> list[Path]:
    return sorted(folder.glob("*")) if folder.is_dir() else []


def forget(folder: Path) -> None:
    for path in stores(folder):
        path.unlink()


def the_store(folder: Path) -> Path:
    (store,) = stores(folder)
    return store


def test_answers_are_kept_in_the_users_folder_and_nowhere_else(book: Path, folder: Path, run: Run) -> None:
    in_git = sorted((book / ".git").rglob("*"))
    run("--book", book, *LINT)
    run("--book", book, "week")
    assert the_store(folder).suffix == ".sqlite"
    assert folder.stat().st_mode & 0o777 == 0o700
    assert sorted((book / ".git").rglob("*")) == in_git
    status = subprocess.run(["git", "status", "--porcelain"], cwd=book, capture_output=True, check=True)
    assert status.stdout == b""


@pytest.mark.parametrize("way", ["option", "environment"])
def test_nothing_is_kept_where_that_is_asked_for(
    way: str, book: Path, folder: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    if way == "environment":
        monkeypatch.setenv("JOBKIT_NO_CACHE", "1")
    assert run(*(["--no-cache"] if way == "option" else []), "--book", book, *LINT).err == ""
    assert stores(folder) == []


def same_as_without(book: Path, run: Run, *, remarks: int = 0) -> Ran:
    """Compare the answer with one without the store; so many lines are said of that."""
    ran, fresh = run("--book", book, *LINT), run("--no-cache", "--book", book, *LINT)
    assert (ran.status, ran.out) == (fresh.status, fresh.out)
    assert ran.err.count("\n") == remarks, ran.err
    return ran


def other_tables(path: Path) -> None:
    path.unlink()
    with sqlite3.connect(path) as forged:
        forged.execute("CREATE TABLE job (path)")
    forged.close()


def endless_view(path: Path) -> None:
    """Put an endless answer in place of the table."""
    forged = sqlite3.connect(path)
    forged.execute("DROP TABLE job")
    forged.execute(
        "CREATE VIEW job AS WITH RECURSIVE n(x) AS (SELECT 1 UNION ALL SELECT x + 1 FROM n) SELECT x AS path FROM n"
    )
    forged.commit()
    forged.close()


def trigger(path: Path) -> None:
    forged = sqlite3.connect(path)
    forged.execute("CREATE TRIGGER t AFTER INSERT ON job BEGIN DELETE FROM job; END")
    forged.commit()
    forged.close()


def misnamed(path: Path) -> None:
    """Spoil one byte of a name, which SQLite quotes when it refuses the file."""
    path.write_bytes(path.read_bytes().replace(b"_autoindex_answer_1", b"_autoindex_answer_\xfd"))


FORGED: dict[str, tuple[Callable[[Path], object], int]] = {
    "empty": (lambda path: path.write_bytes(b""), 0),
    "foreign": (lambda path: path.write_bytes(b"not ours" * 100), 1),
    "cut short": (lambda path: path.write_bytes(path.read_bytes()[: path.stat().st_size // 3]), 1),
    "other tables": (other_tables, 1),
    "an endless view": (endless_view, 1),
    "a trigger": (trigger, 1),
    "a name that is not text": (misnamed, 1),
}


@pytest.mark.parametrize(("forge", "remarks"), FORGED.values(), ids=FORGED)
def test_a_store_that_is_not_as_it_was_made_is_made_again_and_said_once(
    forge: Callable[[Path], object], remarks: int, book: Path, folder: Path, run: Run
) -> None:
    run("--book", book, *LINT)
    forge(the_store(folder))
    ran = same_as_without(book, run, remarks=remarks)
    assert not remarks or "is damaged, or not made by jobkit; it will be made again" in ran.err
    for _ in range(2):
        same_as_without(book, run)


@pytest.mark.parametrize("seed", range(3))
def test_no_damage_changes_an_answer(seed: int, book: Path, folder: Path, run: Run) -> None:
    """Bits and pages that flip anywhere in the file: jobs are checked again, or the store is made again."""
    run("--book", book, *LINT)
    store, dice = the_store(folder), random.Random(seed)  # noqa: S311 - a dice, not a key
    whole, fresh = store.read_bytes(), run("--no-cache", "--book", book, *LINT)
    for _ in range(20):
        damaged = bytearray(whole)
        for _ in range(dice.choice((1, 1, 5, 200))):
            damaged[dice.randrange(len(damaged))] ^= 1 << dice.randrange(8)
        if dice.random() < 0.2:
            at, page = dice.randrange(len(damaged)), dice.choice((100, 4096, 16384))
            damaged[at : at + page] = dice.randbytes(len(damaged[at : at + page]))
        store.write_bytes(damaged)
        ran = run("--book", book, *LINT)
        assert (ran.status, ran.out) == (fresh.status, fresh.out)


def link(path: Path) -> None:
    path.rename(path.with_name("elsewhere"))
    path.symlink_to("elsewhere")


def hard_link(path: Path) -> None:
    os.link(path, path.with_name("elsewhere"))


def fifo(path: Path) -> None:
    path.unlink()
    os.mkfifo(path)


def directory(path: Path) -> None:
    path.unlink()
    path.mkdir()


def of_another(path: Path) -> None:
    os.chown(path, 12345, -1)


def writable_by_all(path: Path) -> None:
    path.parent.chmod(0o777)


def folder_of_another(path: Path) -> None:
    os.chown(path.parent, 12345, -1)


def linked_folder(path: Path) -> None:
    path.parent.rename(path.parent.with_name("elsewhere"))
    path.parent.symlink_to("elsewhere")


PLACES = (link, hard_link, fifo, directory, of_another, writable_by_all, folder_of_another, linked_folder)


@pytest.mark.parametrize("put", PLACES, ids=[put.__name__ for put in PLACES])
def test_what_others_may_have_put_there_does_not_count(
    put: Callable[[Path], None], book: Path, folder: Path, run: Run
) -> None:
    run("--book", book, *LINT)
    try:
        put(the_store(folder))
    except PermissionError:
        pytest.skip("only root can give a file away")
    ran = same_as_without(book, run, remarks=1)
    assert "nothing can be kept in" in ran.err


def test_a_repository_of_another_user_has_no_store(
    book: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    repo = git.open_repo(book)
    assert cache_of(repo, pytest.fail)
    monkeypatch.setattr(os, "geteuid", lambda: 12345)
    forget(folder)
    assert cache_of(repo, pytest.fail) is None


def test_a_repository_in_the_place_of_another_begins_without_a_store(book: Path, folder: Path) -> None:
    first = cache_of(git.open_repo(book), pytest.fail)
    assert first
    first.put(ROWS)
    (book / ".git").rename(book.parent / "gone")
    GitRepo.make(book).commit("From a stranger")
    second = cache_of(git.open_repo(book), pytest.fail)
    assert second
    assert list(second.checks()) == []
    assert len(stores(folder)) == 1 + bool(second.put(ROWS))


@pytest.mark.parametrize("trouble", [errno.ENOSPC, errno.EROFS, errno.EACCES, errno.EDQUOT])
def test_where_nothing_can_be_written_the_answer_is_given_all_the_same(
    trouble: int, book: Path, folder: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(path: Path, *_: object, **__: object) -> None:
        raise OSError(trouble, os.strerror(trouble), path)

    monkeypatch.setattr(Path, "mkdir", refuse)
    for _ in range(2):
        assert "nothing can be kept in" in same_as_without(book, run, remarks=1).err
    assert stores(folder) == []


def test_a_store_that_another_process_writes_to_is_waited_for_and_then_left(
    book: Path, folder: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    run("--book", book, *LINT)
    monkeypatch.setattr("jobkit.book.cache.database._PATIENCE", 0.05)
    other = sqlite3.connect(the_store(folder), isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    assert "another process is writing" in same_as_without(book, run, remarks=1).err
    other.close()
    same_as_without(book, run)


def test_two_processes_share_it(book: Path, folder: Path, run: Run) -> None:
    """Each reads and writes while the others do; every one of them gives the same answer."""
    fresh = run("--no-cache", "--book", book, *LINT, "--format", "json")
    root = str(Path(__file__).parent.parent.parent)
    words = [sys.executable, "-m", "jobkit", *LINT, "--format", "json"]
    for _ in range(2):
        forget(folder)
        running = [
            subprocess.Popen(words, cwd=book, env={**os.environ, "PYTHONPATH": root}, stdout=subprocess.PIPE)
            for _ in range(4)
        ]
        for process in running:
            out, _ = process.communicate()
            assert (process.returncode, out.decode()) == (fresh.status, fresh.out)
    assert [path.suffix for path in folder.iterdir()] == [".sqlite"]


def test_a_store_that_another_makes_at_the_same_moment_stays(tmp_path: Path) -> None:
    """The one that comes second finds the tables of the first, and does not take the file for damaged."""
    complaints: list[str] = []
    for number in range(30):
        path, together = tmp_path / f"{number}.sqlite", threading.Barrier(4)

        def keep_a_row(path: Path = path, together: threading.Barrier = together) -> None:
            together.wait()
            Cache(path, complaints.append).put(ROWS[:1])

        threads = [threading.Thread(target=keep_a_row) for _ in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert path.is_file()
    assert complaints == []


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


def test_rows_are_found_by_path_and_content(tmp_path: Path) -> None:
    for cache in (Cache(tmp_path / "store.sqlite"), Cache()):
        assert cache.put(ROWS)
        keys = [(row.check.path, row.check.blob) for row in ROWS]
        assert [row[:2] for row in cache.checks(keys[1:3])] == keys[1:3]
        assert [*cache.checks([("jobs/2026/K26-0001.toml", "9" * 40)])] == []
        assert [*cache.facts(keys[:1])] == [(*keys[0], *ROWS[0].facts)]


def test_the_rows_of_the_working_tree_are_told_apart() -> None:
    cache = Cache()
    cache.put(ROWS)
    keys = [(row.check.path, row.check.blob) for row in ROWS]
    assert (cache.tree(), [*cache.facts_here()]) == ("", [])
    cache.set_tree("first", None, keys[:3])
    assert (cache.tree(), [row[:2] for row in cache.facts_here({"serial": "T7"})]) == ("first", keys[:3])
    cache.set_tree("second", [keys[0][0]], keys[3:])
    assert (cache.tree(), [row[:2] for row in cache.facts_here()]) == ("second", keys[1:])
    cache.put(ROWS[1:2])  # checked again
    assert (cache.tree(), len([*cache.facts_here()])) == ("second", 3)
    cache.set_tree("third", None, [*keys, ("jobs/2026/K26-0009.toml", "9" * 40)])
    assert cache.tree() == ""
    cache.set_tree("fourth", None, keys)
    cache.forget_others(keys)
    assert cache.tree() == "fourth"


def test_an_answer_belongs_to_its_question() -> None:
    cache = Cache()
    cache.put_answer("zone", "of the first", "UTC")
    assert cache.answer("zone", "of the first") == "UTC"
    assert cache.answer("zone", "of another") is cache.answer("other", "of the first") is None
    cache.put_answer("zone", "of another", "")
    assert (cache.answer("zone", "of the first"), cache.answer("zone", "of another")) == (None, "")


def test_earlier_contents_go_once_they_are_many(monkeypatch: pytest.MonkeyPatch) -> None:
    cache = Cache()
    cache.put(ROWS)
    cache.forget_others([(ROWS[0].check.path, ROWS[0].check.blob)])
    assert len([*cache.checks()]) == len(ROWS)
    monkeypatch.setattr("jobkit.book.cache.store._SPARE", 1)
    cache.forget_others([(ROWS[0].check.path, ROWS[0].check.blob)])
    assert [row[0] for row in cache.checks()] == [ROWS[0].check.path]


def test_a_name_that_is_not_utf_8_is_not_kept() -> None:
    cache = Cache()
    odd = ROWS[0]._replace(check=ROWS[0].check._replace(path=os.fsdecode(b"jobs/2026/\xff.toml")))
    assert cache.put([odd, ROWS[1]])
    assert [row[0] for row in cache.checks()] == [ROWS[1].check.path]


def test_stores_of_books_that_are_gone_are_taken_away(book: Path, folder: Path, run: Run) -> None:
    folder.mkdir(parents=True, mode=0o700)
    for name, days in (("old", 200), ("young", 20)):
        (folder / f"{name}.sqlite").write_bytes(b"")
        then = time.time() - days * 24 * 3600
        os.utime(folder / f"{name}.sqlite", (then, then))
    run("--book", book, *LINT)
    assert "old.sqlite" not in {path.name for path in stores(folder)}
    assert "young.sqlite" in {path.name for path in stores(folder)}
