"""The stories that texts tell: their commands, one after the other, at a clock of their own.

`python -m tests.story FILE` plays a text in a temporary folder and prints what each command prints today.
"""

from __future__ import annotations

import contextlib
import io
import os
import re
import shlex
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, tzinfo
from pathlib import Path
from typing import NamedTuple

import pytest

from jobkit.cli.call import clock
from jobkit.cli.start.main import main


class Step(NamedTuple):
    """A command of a story, and what it is shown to print."""

    command: str
    shown: str


class Insert(NamedTuple):
    """What the reader types into a file: at its end, or in the place of its tables of one name."""

    path: str
    instead: str
    text: str


_BLOCK = re.compile(r"^```(text|toml)\n(.*?)^```", re.MULTILINE | re.DOTALL)
_TARGET = re.compile(r"# (?:at the end of (?P<end>\S+)|(?P<path>\S+), instead of its (?P<name>\S+) tables)\n")


def steps(text: str) -> Iterator[Step | Insert]:
    """Take the blocks of a text apart into commands with what follows each, and into what is typed into files."""
    for language, block in _BLOCK.findall(text):
        if language == "text":
            for part in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]:
                command, _, shown = part.partition("\n")
                yield Step(command, shown.strip("\n"))
        elif target := _TARGET.match(block):
            path = target["end"] or target["path"]
            yield Insert(path, target["name"] or "", block[target.end() :])


class StoryClock(datetime):
    """A clock that the story moves on."""

    at = datetime(2026, 11, 23, 9, 0, tzinfo=UTC)

    @classmethod
    def now(cls, tz: tzinfo | None = None) -> datetime:  # type: ignore[override]
        return cls.at.astimezone(tz)


def set_stage(patch: pytest.MonkeyPatch, folder: Path, begins: datetime) -> None:
    """Set the clock, the names and the folder of a story."""
    patch.setattr(clock, "datetime", StoryClock)
    patch.setattr(StoryClock, "at", begins)
    patch.setenv("XDG_STATE_HOME", str(folder / "state"))
    patch.setenv("XDG_CACHE_HOME", str(folder / "cache"))
    patch.setenv("COLUMNS", "100")
    patch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
    for name, value in {"NAME": "Ida", "EMAIL": "ida@example.org"}.items():
        patch.setenv(f"GIT_AUTHOR_{name}", value)
        patch.setenv(f"GIT_COMMITTER_{name}", value)
    patch.delenv("JOBKIT_BY", raising=False)
    patch.chdir(folder)


def is_shown(shown: str, printed: str) -> bool:
    """Tell whether a text is what was printed; a line of three dots stands for any lines, and widths may differ."""
    pattern = "\n".join(
        r".*?" if line == "..." else re.escape(" ".join(line.split())) for line in shown.split("\n")
    ).replace("\n.*?", r"(?:\n.*?)?")
    plain = "\n".join(" ".join(line.split()) for line in printed.strip("\n").split("\n"))
    return re.fullmatch(pattern, plain, re.DOTALL) is not None


def play(step: Step | Insert, minutes: int) -> str:
    """Do a step of the story so many minutes after the one before, and return what is printed."""
    StoryClock.at += timedelta(minutes=minutes)
    if isinstance(step, Insert):
        _insert(step)
        return ""
    words = shlex.split(step.command, comments=True)
    if words[0] == "cd":
        os.chdir(words[1])
        return ""
    if words[0] == "jobkit":
        return _said(words[1:])
    ended = subprocess.run(words, capture_output=True, text=True, check=False)
    return ended.stdout + ended.stderr


def _said(words: list[str]) -> str:
    """Run `jobkit` and return all that it prints, in the order in which a terminal shows it."""
    said = io.StringIO()
    with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
        main(words)
    return said.getvalue()


def _insert(typed: Insert) -> None:
    path = Path(typed.path)
    old = path.read_text("utf-8") if path.exists() else ""
    if not typed.instead:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(f"{old}\n{typed.text}" if old else typed.text, "utf-8")
        return
    tables = re.split(r"\n\n(?=\[)", old)
    kept = [table for table in tables if not table.startswith(typed.instead)]
    assert len(kept) < len(tables), f"{typed.path} has no {typed.instead}"
    at = next(number for number, table in enumerate(tables) if table.startswith(typed.instead))
    path.write_text("\n\n".join([*kept[:at], typed.text.rstrip("\n"), *kept[at:]]), "utf-8")


def play_all(text: str, minutes: int) -> Iterator[tuple[Step | Insert, str]]:
    """Play a text, and give each step with what is printed."""
    for step in steps(text):
        yield step, play(step, minutes)


def differences(text: str, minutes: int) -> str:
    """Play a text, and return the commands that print something else than it shows, with what they print."""
    return "\n".join(
        f"$ {step.command}\n{got}"
        for step, got in play_all(text, minutes)
        if isinstance(step, Step) and not is_shown(step.shown, got)
    )


def print_story(path: Path, minutes: int) -> None:
    """Play a text and print each command with what it prints."""
    text = path.read_text("utf-8")
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        set_stage(patch, Path(folder), StoryClock.at)
        for step, got in play_all(text, minutes):
            differs = isinstance(step, Step) and not is_shown(step.shown, got)
            print(f"$ {step.command}" if isinstance(step, Step) else f"[into {step.path}]", end="")
            print("   <<< differs" if differs else "")
            print(got, end="")
        patch.chdir("/")


if __name__ == "__main__":
    print_story(Path(sys.argv[1]).resolve(), 10)
