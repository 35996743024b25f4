"""What is kept never changes an answer: whatever happens to a book, each answer is as if nothing had been kept."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from jobkit.book.cache import database
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import EXAMPLE
from tests.conftest import Ran, Run
from tests.kept.changes import Upheaval
from tests.kept.part_of_example import part_of_example
from tests.long_run import LONG

SEEDS = int(os.environ.get("JOBKIT_TEST_SEEDS", "14" if LONG else "2"))
STEPS = int(os.environ.get("JOBKIT_TEST_STEPS", "30" if LONG else "6"))

LOOKS = (
    ("lint", "--format", "json", "--on", "2026-11-20"),
    ("lint", "--format", "json", "--staged", "--on", "2026-11-20"),
    ("lint", "--format", "json", "--on", "2026-10-01"),
    ("summarise", "--format", "json", "--on", "2026-11-20"),
    ("show", "K26-0047", "--format", "json", "--on", "2026-11-20"),
    ("show", "K26-0052", "--format", "json", "--on", "2026-11-20"),
    ("show", "K26-0052", "--format", "json", "--on", "2026-10-20"),
)


@pytest.fixture(autouse=True)
def _no_git_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    forget_git_settings(monkeypatch)


def opened(tmp_path: Path) -> GitRepo:
    """Put the example in git; a part of it, which has jobs of each sort, in the usual run."""
    book = tmp_path / "book"
    repo = GitRepo.make(shutil.copytree(EXAMPLE, book) if LONG else part_of_example(book))
    repo.git("add", "-A")
    repo.git("commit", "-q", "-m", "The example")
    return repo


def without_remarks(ran: Ran) -> tuple[int, str, list[str]]:
    """Leave out what is said of the store itself."""
    remarks = ("is damaged, or not made by jobkit", "so every call takes longer")
    lines = ran.err.splitlines()
    return ran.status, ran.out, [line for line in lines if not any(remark in line for remark in remarks)]


@pytest.mark.parametrize("seed", range(SEEDS))
def test_answers_are_those_of_a_fresh_look(
    seed: int, tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    repo = opened(tmp_path)
    up = Upheaval(repo, seed)
    if seed % 2:
        # As in a large book: all rows are read, and few of them go.
        monkeypatch.setattr("jobkit.book.read.rows.MANY", 1)
        monkeypatch.setattr("jobkit.lint.check.check_or_recall.MANY", 1)
    else:
        monkeypatch.setattr("jobkit.book.cache.store._SPARE", 0)
    happened: list[str] = []
    for step in range(STEPS):
        happened.append(up.next())
        if up.dice.random() < 0.1:
            code = bytes([up.dice.randrange(3)]) * 20
            monkeypatch.setattr(database, "code_digest", lambda code=code: code)
            happened.append("upgrade")
        for look in LOOKS:
            words = ("--book", repo.root, *look)
            kept = without_remarks(run(*words))
            assert kept == without_remarks(run("--no-cache", *words)), (seed, step, look, happened)
            if up.dice.random() < 0.3:
                assert kept == without_remarks(run(*words)), (seed, step, look, happened, "again")
