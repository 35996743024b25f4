"""A file that is looked for is found where a walk through the whole book finds it, whatever has happened to that."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from jobkit.book import git
from jobkit.book.shelf.opening import Index, Tree, kind_of
from jobkit.book.shelf.paths import Paths
from jobkit.book.shelf.tree import GitTree
from tests.book.repo import forget_git_settings
from tests.kept.changes import Upheaval
from tests.kept.test_same_answers import opened
from tests.long_run import LONG

SEEDS = int(os.environ.get("JOBKIT_TEST_SEEDS", "14" if LONG else "3"))
STEPS = 3 * int(os.environ.get("JOBKIT_TEST_STEPS", "30" if LONG else "8"))


@pytest.mark.parametrize("seed", range(SEEDS))
def test_each_file_is_there_as_among_all(seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    forget_git_settings(monkeypatch)
    repo = opened(tmp_path)
    up = Upheaval(repo, 100 + seed)
    ever: set[str] = {
        "jobs/2026/K26-0001/../K26-0001.toml",
        "jobs",
        "",
        "jobs/2026/.hidden.toml",
        "README.md",
    }
    for step in range(STEPS):
        what = up.next()
        plain = Tree(repo.root).paths()
        ever.update(plain)
        tree, index = GitTree(repo.root, git.WorktreeQuery(git.open_repo(repo.root))), Index(repo.root)
        for shelf, there in ((tree, plain), (index, Index(repo.root).paths())):
            assert {path for path in ever if path in Paths(shelf)} == ever & {*there}, (seed, step, what)
            for name in ("K26-0012", "K26-0018", "K26-0051"):
                jobs = [one for one in there if kind_of(one) == "job" and one.endswith(f"/{name}.toml")]
                assert [*shelf.jobs_named(name)] == jobs, (seed, step, what)
