"""The README's commands are what they say they are."""

from __future__ import annotations

import os
import re
import shlex
import tomllib
from pathlib import Path

import pytest

from tests.books import EXAMPLE
from tests.conftest import Run

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text("utf-8")


def test_the_readme_opens_with_the_job_and_two_commands_of_one_line() -> None:
    title, job, *_ = README.split("\n\n")
    assert title == "# jobkit"
    assert "technician" in job
    commands = [line for line in README.split("\n") if line.startswith("python3 -m venv")]
    assert len(commands) == 2
    assert "lint" in commands[0]
    assert "week" in commands[0]
    assert "pytest" in commands[1]


BLOCKS = re.findall(r"^```sh\n(.*?)^```", README, re.MULTILINE | re.DOTALL)
LINES = [line for block in BLOCKS for line in block.splitlines() if line.startswith("jobkit ")]


NEEDS_GIT = {"wire", "trail", "diff"}


@pytest.mark.parametrize("line", LINES)
def test_every_command_of_the_readme_runs(
    line: str, run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Beside a copy of the example, or, where git is asked, within the demo."""
    (tmp_path / "jobs_example").symlink_to(EXAMPLE)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HOME", str(tmp_path))
    words = [os.path.expanduser(word) for word in shlex.split(line, comments=True)[1:]]  # noqa: PTH111 - as a shell does
    if words[0] in NEEDS_GIT:
        run("demo", "book")
        monkeypatch.chdir(tmp_path / "book")
    ran = run(*words)
    assert ran.status == 0
    # An invoice says that the example has no names of clients.
    said = [line for line in ran.err.splitlines() if "in private/clients.toml; " not in line]
    assert words[0] in {"demo", "init"} or not said


def test_the_top_level_holds_what_was_agreed_and_no_more() -> None:
    agreed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "jobkit", "schema", "jobs_example", "tests"}
    # A copy of the project that is not the git checkout may have left some behind; nothing may be added.
    found = {
        path.name
        for path in ROOT.iterdir()
        if not path.name.startswith(".") and path.name not in {"dist", "build"}
    }
    assert found == agreed


def test_every_dependency_has_its_reason() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    names = [re.split(r"[<>=;\[ ]", line)[0] for line in project["dependencies"]]
    developers = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    assert [name for name in names if f"`{name}`" not in developers] == []
