"""Before a commit only what is staged is looked at: what is found is what a walk through the whole index finds."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from jobkit.cli.check import checking
from jobkit.lint.run.partial import lint_few
from tests.book.repo import GitRepo, forget_git_settings
from tests.conftest import Run
from tests.kept import changes
from tests.kept.changes import Upheaval
from tests.kept.test_same_answers import opened
from tests.long_run import LONG

SEEDS = int(os.environ.get("JOBKIT_TEST_SEEDS", "14" if LONG else "2"))
STEPS = 2 * int(os.environ.get("JOBKIT_TEST_STEPS", "30" if LONG else "4"))

STAGED = ("--no-cache", "lint", "--staged", "--format", "json", "--on", "2026-11-20")

STAGING = (
    *(changes.edit_a_word, changes.edit_a_word, changes.add_an_entry, changes.add_an_entry),
    *(changes.break_a_file, changes.swap_two_files, changes.copy_to_another_year, changes.move_attachments),
    *(changes.take_a_job_away, changes.put_something_odd, changes.rename_a_job, changes.edit_the_stock),
)


@pytest.fixture(autouse=True)
def _no_git_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    forget_git_settings(monkeypatch)


@pytest.mark.parametrize("seed", range(SEEDS))
def test_the_few_are_judged_as_in_the_whole_index(
    seed: int, tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    repo = opened(tmp_path)
    up = Upheaval(repo, seed)
    few = 0

    def counting(*args: object) -> object:
        nonlocal few
        few += 1
        return lint_few(*args)  # type: ignore[arg-type]

    monkeypatch.setattr("jobkit.cli.check.checking.lint_few", counting)
    for step in range(STEPS):
        what = up.one_of(STAGING)
        repo.git("add", "-A")
        answers = []
        for many in (50, -1):
            monkeypatch.setattr(checking, "_FEW", many)
            answers.append(run("--book", repo.root, *STAGED))
        assert answers[0] == answers[1], (seed, step, what)
        if up.dice.random() < 0.5:
            repo.attempt(*up.dice.choice((("commit", "-q", "-m", "so far"), ("reset", "-q", "--hard"))))
    assert few


@pytest.mark.parametrize("prefix", ["", "repairs/the book"])
def test_a_book_in_a_folder_is_searched_too(
    prefix: str, tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    repo = GitRepo.make(tmp_path / "large")
    book = repo.root / prefix
    example = opened(tmp_path)
    for path in ("bench.toml", "meters.toml", "stock.toml", "boards", "jobs"):
        book.mkdir(parents=True, exist_ok=True)
        (example.root / path).rename(book / path)
    repo.commit("The example")
    job = book / "jobs/2026/K26-0051.toml"
    text = job.read_text("utf-8")
    job.write_text(
        text + '\n[comeback]\nof = "K26-0018"\n[[seen]]\ncheck = "smell"\nlog = "nowhere.csv"\n', "utf-8"
    )
    (book / "jobs/2025").mkdir(exist_ok=True)
    (book / "jobs/2025/K26-0051.toml").write_text(text, "utf-8")
    repo.git("add", "-A")
    answers = []
    for many in (50, -1):
        monkeypatch.setattr(checking, "_FEW", many)
        answers.append(run("--book", book, *STAGED))
    assert answers[0] == answers[1]
    assert {"id-twice", "comeback-serial", "file-missing"} <= {
        one["rule"] for one in answers[0].data["findings"]
    }
