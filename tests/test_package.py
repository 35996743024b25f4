"""The package as others take it: its licence, and the real pre-commit that follows the README."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tests.books import BENCH, EXAMPLE, JOB, JOB_PATH, make_book

ROOT = EXAMPLE.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]


def test_the_licence_is_named_and_its_text_is_in_the_package() -> None:
    assert PROJECT["license"] == "MIT"
    (path,) = PROJECT["license-files"]
    assert (ROOT / path).read_text("utf-8").startswith("MIT License\n")
    assert path.startswith("jobkit/")
    assert (ROOT / "jobkit/py.typed").is_file()


def test_no_classifier_says_more_than_the_licence_or_less_than_the_lowest_python() -> None:
    """PEP 639: no licence classifier beside a licence expression."""
    assert not [one for one in PROJECT["classifiers"] if one.startswith("License ::")]
    lowest = PROJECT["requires-python"].removeprefix(">=")
    assert f"Programming Language :: Python :: {lowest}" in PROJECT["classifiers"]


def _settings(source: Path, rev: str) -> str:
    """Take the settings from the README, with the place and the commit filled in."""
    text = (ROOT / "README.md").read_text("utf-8")
    (block,) = re.findall(r"```yaml\n(repos:.*?)```", text, re.DOTALL)
    assert block.count("rev: COMMIT ") == 1
    return re.sub(r"repo: \S+", f"repo: {source}", block).replace("rev: COMMIT", f"rev: {rev}")


@pytest.mark.slow
@pytest.mark.skipif(
    not (ROOT / ".git").exists(), reason="pre-commit takes a commit of a clone, and this is none"
)
def test_pre_commit_follows_the_readme(tmp_path: Path) -> None:
    program = shutil.which(
        "pre-commit", path=f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    )
    if program is None:
        pytest.skip("pre-commit is not installed")
    settings = {"GIT_CONFIG_GLOBAL": os.devnull, "PRE_COMMIT_HOME": str(tmp_path / "home")}
    people = {
        f"GIT_{who}_{what}": "x@y.example" for who in ("AUTHOR", "COMMITTER") for what in ("NAME", "EMAIL")
    }
    given = {key: value for key, value in os.environ.items() if not key.startswith(("GIT_", "PYTEST_"))}

    def call(*words: str, cwd: Path) -> subprocess.CompletedProcess[str]:
        env = {**given, **settings, **people}
        return subprocess.run(words, cwd=cwd, env=env, capture_output=True, text=True, check=False)

    rev = call("git", "rev-parse", "HEAD", cwd=ROOT).stdout.strip()
    book = make_book(tmp_path / "book", {"bench.toml": BENCH})
    (book / ".pre-commit-config.yaml").write_text(_settings(ROOT, rev))
    call("git", "init", "-q", cwd=book)
    call("git", "add", ".", cwd=book)
    made = call(program, "install", "--install-hooks", cwd=book)
    if "No matching distribution" in made.stdout or "Connection" in made.stdout:
        pytest.skip("no package registry can be reached")
    assert made.returncode == 0, made.stdout + made.stderr
    sound = call("git", "commit", "-qm", "A sound book", cwd=book)
    assert sound.returncode == 0, sound.stdout + sound.stderr
    (book / JOB_PATH).write_text(JOB.replace("received = ", "recieved = "))
    call("git", "add", ".", cwd=book)
    stopped = call("git", "commit", "-qm", "A slip", cwd=book)
    assert stopped.returncode == 1
    assert 'unknown key "recieved"' in stopped.stdout + stopped.stderr
