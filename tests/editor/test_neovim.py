"""The whole way in an editor that people use: Neovim from the distribution, without a screen."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.book.repo import GitRepo, forget_git_settings
from tests.books import JOB, JOB_PATH, make_book

SCRIPT = Path(__file__).parent / "fix_in_neovim.lua"


@pytest.mark.slow
@pytest.mark.skipif(not shutil.which("nvim"), reason="Neovim is not installed here")
def test_a_unit_is_broken_found_fixed_saved_and_committed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    forget_git_settings(monkeypatch)
    book = make_book(tmp_path / "book", {JOB_PATH: JOB.replace("sent = 2026-10-12\n", "")})
    repo = GitRepo.make(book)
    repo.commit("A book")
    subprocess.run(
        [sys.executable, "-m", "jobkit", "--book", str(book), "wire"], check=True, capture_output=True
    )
    report = tmp_path / "report.json"
    told = {
        **repo.environment(),
        "JOBKIT": f"{sys.executable}\n-m\njobkit\neditor",
        "JOB": str(book / JOB_PATH),
        "REPORT": str(report),
        "HOME": str(tmp_path),
        "XDG_CACHE_HOME": os.environ["XDG_CACHE_HOME"],
        "LC_ALL": "C.UTF-8",
    }
    words = ["nvim", "--headless", "--clean", "-u", "NONE", "-S", str(SCRIPT)]
    done = subprocess.run(
        words, env=told, capture_output=True, timeout=120, check=False, stdin=subprocess.DEVNULL
    )
    assert report.exists(), done.stderr.decode()
    said = json.loads(report.read_text("utf-8"))
    assert said["found"], said
    assert said["message"].startswith('"ohms" is not a unit')
    assert said["line"] == said["wanted_line"]
    assert said["fix"] == 'Write "0.4 Ω"'
    assert said["text"] == 'value = "0.4 Ω"'
    assert "0.4 Ω" in said["hover"]
    assert said["committed"], said["commit"]
    assert repo.git("log", "-1", "--format=%s") == "A remark\n"
    assert repo.git("status", "--porcelain") == ""
