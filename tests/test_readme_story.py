"""The first day that the README tells: its commands, one after the other, print what it shows."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, tzinfo
from pathlib import Path
from typing import NamedTuple

import pytest

from jobkit.cli.call import clock
from tests.conftest import Run

README = (Path(__file__).parent.parent / "README.md").read_text("utf-8")
STORY = README.partition("\n## Your first day\n")[2].partition("\n## ")[0]


class Step(NamedTuple):
    """A command of the story, and what it is shown to print."""

    command: str
    shown: str


def steps(text: str) -> Iterator[Step]:
    """Take the blocks of a text apart into commands and what follows each."""
    for block in re.findall(r"^```text\n(.*?)^```", text, re.MULTILINE | re.DOTALL):
        for part in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]:
            command, _, shown = part.partition("\n")
            yield Step(command, shown.strip("\n"))


class StoryClock(datetime):
    """A clock that the story moves on."""

    at = datetime(2026, 11, 23, 9, 0, tzinfo=UTC)

    @classmethod
    def now(cls, tz: tzinfo | None = None) -> datetime:  # type: ignore[override]
        return cls.at.astimezone(tz)


def is_shown(shown: str, printed: str) -> bool:
    """Tell whether a text is what was printed; a line of three dots stands for any lines, and widths may differ."""
    pattern = "\n".join(
        r".*?" if line == "..." else re.escape(" ".join(line.split())) for line in shown.split("\n")
    ).replace("\n.*?", r"(?:\n.*?)?")
    plain = "\n".join(" ".join(line.split()) for line in printed.strip("\n").split("\n"))
    return re.fullmatch(pattern, plain, re.DOTALL) is not None


def printed(step: Step, run: Run) -> str:
    """Run a command of the story twenty minutes after the one before."""
    words = shlex.split(step.command, comments=True)
    StoryClock.at += timedelta(minutes=20)
    if words[0] == "cd":
        os.chdir(words[1])
        return ""
    if words[0] == "jobkit":
        ran = run(*words[1:])
        return ran.out + ran.err
    ended = subprocess.run(words, capture_output=True, text=True, check=False)
    return ended.stdout + ended.stderr


def test_the_first_day_prints_what_the_readme_shows(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(clock, "datetime", StoryClock)
    monkeypatch.setattr(StoryClock, "at", datetime(2026, 11, 23, 9, 0, tzinfo=UTC))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    for name, value in {"NAME": "Ida", "EMAIL": "ida@example.org"}.items():
        monkeypatch.setenv(f"GIT_AUTHOR_{name}", value)
        monkeypatch.setenv(f"GIT_COMMITTER_{name}", value)
    monkeypatch.delenv("JOBKIT_BY", raising=False)
    monkeypatch.chdir(tmp_path)
    told = list(steps(STORY))
    assert len(told) > 15
    wrong = []
    for step in told:
        got = printed(step, run)
        if not is_shown(step.shown, got):
            wrong.append(f"$ {step.command}\n{got}")
    assert not wrong, "\n".join(wrong)
