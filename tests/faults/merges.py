"""Merges of two benches' work on one file, by the function and by git with the driver that `wire` sets."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from jobkit.book.merge import driver_command
from tests.book.repo import GitRepo
from tests.book.test_merge_random import Case, case_of, keeps_the_line_rule

FILES = 25
"""In one merge of git."""


def merged(seed: int) -> str:
    """Merge two random edits of a random file; say which line was lost, or came from nowhere."""
    case = case_of(seed)
    return _lost(case, case.merged.text, clean=case.merged.clean)


def merged_by_git(folder: Path, first: int) -> list[str]:
    """Merge many files by `git merge`, and judge each."""
    os.environ["PYTHONPATH"] = str(Path(__file__).parents[2])
    repo = GitRepo.make(folder)
    repo.git("config", "merge.jobkit.driver", driver_command(sys.executable))
    repo.write(".git/info/attributes", "*.toml merge=jobkit\n")
    cases = {f"jobs/2026/K26-{seed:06}.toml": case_of(seed) for seed in range(first, first + FILES)}
    repo.commit("Base", {path: case.base for path, case in cases.items()})
    repo.git("checkout", "-q", "-b", "side")
    repo.commit("Theirs", {path: case.theirs for path, case in cases.items()})
    repo.git("checkout", "-q", "main")
    repo.commit("Ours", {path: case.ours for path, case in cases.items()})
    repo.attempt("merge", "-q", "side")
    conflicts = set(repo.git("diff", "--name-only", "--diff-filter=U", "-z").split("\0"))
    return [
        _lost(case, (repo.root / path).read_bytes().decode(), clean=path not in conflicts)
        for path, case in cases.items()
    ]


def _lost(case: Case, text: str, *, clean: bool) -> str:
    try:
        keeps_the_line_rule(case.base, case.ours, case.theirs, case.merged._replace(text=text, clean=clean))
    except AssertionError as lost:
        return f"a merge lost a line, or made one up: {lost}"[:300]
    return ""
