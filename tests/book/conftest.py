"""Fixtures of the tests that meet git."""

from pathlib import Path

import pytest

from tests.book.repo import GitRepo, forget_git_settings


@pytest.fixture(autouse=True)
def _no_git_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    """Hide whatever settings of git the machine has."""
    forget_git_settings(monkeypatch)


@pytest.fixture
def repo(tmp_path: Path) -> GitRepo:
    """Return an empty repository."""
    return GitRepo.make(tmp_path / "bench")
