"""Unsaved text over the tree answers as the tree would once the text is saved."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from jobkit.book import git
from jobkit.book.shelf.opening import Shelf, ShelfError, Tree
from jobkit.book.shelf.overlay import Overlay
from jobkit.book.shelf.tree import GitTree
from tests.book.repo import GitRepo

SAVED = {
    "bench.toml": "format = 1\n",
    "boards/alder-a1.toml": "format = 1\n",
    "jobs/2025/K25-0001.toml": 'of = "K24-0009"\n',
    "jobs/2026/K26-0001.toml": 'of = "K25-0001"\n',
    "jobs/2026/K26-0001/load.csv": "s\n",
}
UNSAVED = {
    "jobs/2026/K26-0001.toml": 'of = "K24-0009"\n',
    "jobs/2027/K27-0001.toml": 'of = "K25-0001"\n',
    "boards/birch-b2.toml": "format = 1\n",
    "meters.toml": "format = 1\n",
    "notes.txt": "no file of the book\n",
}

ANSWERS: dict[str, Callable[[Shelf], object]] = {
    "paths": lambda shelf: shelf.paths(),
    "job_paths": lambda shelf: shelf.job_paths(),
    "own_paths": lambda shelf: shelf.own_paths(),
    "jobs_named, unsaved": lambda shelf: shelf.jobs_named("K27-0001"),
    "jobs_named, saved": lambda shelf: shelf.jobs_named("K25-0001"),
    "jobs_named, none": lambda shelf: shelf.jobs_named("27-0001"),
    "jobs_containing": lambda shelf: shelf.jobs_containing("K24-0009"),
    "jobs_containing, no longer": lambda shelf: shelf.jobs_containing("K25-0001"),
    "jobs_containing, since": lambda shelf: shelf.jobs_containing("K2", "2026"),
    "holds": lambda shelf: [shelf.holds(path) for path in (*SAVED, *UNSAVED, "stock.toml")],
    "read_many": lambda shelf: list(shelf.read_many((*SAVED, *UNSAVED))),
    "blobs": lambda shelf: shelf.blobs((*SAVED, *UNSAVED, "stock.toml")),
    "blob": lambda shelf: [shelf.blob(path) for path in (*SAVED, *UNSAVED)],
    "hashing": lambda shelf: shelf.hashing,
}


def _write(repo: GitRepo, files: dict[str, str]) -> None:
    for path, text in files.items():
        repo.write(path, text)


def _tree(root: Path) -> Tree:
    return Tree(root)


def _git_tree(root: Path) -> Tree:
    return GitTree(root, git.WorktreeQuery(git.open_repo(root)))


@pytest.mark.parametrize("tree", [_tree, _git_tree])
@pytest.mark.parametrize("answer", ANSWERS.values(), ids=ANSWERS)
def test_it_answers_as_the_tree_does_once_the_text_is_saved(
    tmp_path: Path, tree: Callable[[Path], Tree], answer: Callable[[Shelf], object]
) -> None:
    repo = GitRepo.make(tmp_path)
    _write(repo, SAVED)
    repo.commit("Saved")
    before = answer(Overlay(tree(tmp_path), {path: text.encode() for path, text in UNSAVED.items()}))
    _write(repo, UNSAVED)
    assert before == answer(tree(tmp_path))


def test_what_is_nowhere_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(ShelfError, match=r"jobs/2026/K26-0002\.toml"):
        Overlay(Tree(tmp_path), {"bench.toml": b""}).read("jobs/2026/K26-0002.toml")
