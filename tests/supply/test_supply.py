"""Nothing is asked of a network, and every package that jobkit needs is free to be passed on."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Sequence
from pathlib import Path

import pytest

from tests.book.repo import GitRepo, forget_git_settings
from tests.books import EXAMPLE
from tests.supply.packages import FREE, PYPROJECT, lowest, needed, required
from tests.supply.wheels import PLATFORMS, PYTHONS, all_packages, lacking

DAY = ("--on", "2026-11-20")
COMMANDS = (
    *(("lint", *DAY), ("week", *DAY), ("due", *DAY), ("queue", *DAY), ("summarise", *DAY), ("show", "47")),
    *(("report", "47"), ("bill", "47"), ("usual", "tarnhow-t7-16"), ("suspects", "61"), ("memory", "42")),
    *(("load", "47"), ("stock", *DAY), ("warranty", "47", *DAY), ("earnings", *DAY), ("comebacks", *DAY)),
    *(("on", "55"), ("trail", "47"), ("diff",), ("rules",), ("export", "../tables"), ("wire",)),
    *(("read", "V12", "230 Ω"), ("undo", "--yes")),
)
CLOSED = """
import json, sys
def closed(event, details):
    if event.startswith("socket.") and event != "socket.gethostname":
        sys.stderr.write(f"NETWORK {event} {details}\\n")
        raise ConnectionError(event)
sys.addaudithook(closed)
from jobkit.cli.start.main import main
for words in json.load(sys.stdin):
    sys.stderr.write(f"ENDED {main(words)} {words}\\n")
"""


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    forget_git_settings(monkeypatch)
    shutil.copytree(EXAMPLE, tmp_path / "book")
    GitRepo.make(tmp_path / "book").commit("The example")
    return tmp_path / "book"


def test_no_command_opens_a_connection(book: Path) -> None:
    """Python may open no socket, and git may use no transport at all."""
    root = str(PYPROJECT.parent)
    closed = {**os.environ, "PYTHONPATH": root, "GIT_ALLOW_PROTOCOL": "none"}
    done = subprocess.run(
        [sys.executable, "-c", CLOSED],
        cwd=book,
        env=closed,
        capture_output=True,
        text=True,
        check=True,
        input=json.dumps(COMMANDS),
    )
    assert "NETWORK" not in done.stderr, done.stderr
    ended = re.findall(r"^ENDED (\d+) ", done.stderr, re.MULTILINE)
    assert len(ended) == len(COMMANDS)
    assert {*ended} <= {"0", "1"}, done.stderr


def test_a_connection_would_be_seen() -> None:
    words = f"{CLOSED.partition('from jobkit')[0]}import socket; socket.create_connection(('127.0.0.1', 9))"
    done = subprocess.run([sys.executable, "-c", words], capture_output=True, text=True, check=False)
    assert "NETWORK socket." in done.stderr


def test_every_package_may_be_passed_on() -> None:
    packages = needed()
    assert {one.name for one in packages} >= {"typer", "click", "tomlkit", "rtoml", "jsonschema", "icalendar"}
    for one in packages:
        assert any(word in one.licence for word in FREE), one


def test_developers_lists_what_jobkit_asks_for() -> None:
    listed = (PYPROJECT.parent / "DEVELOPERS.md").read_text("utf-8")
    for one in (one for one in needed() if one.is_direct):
        assert re.search(
            rf"^\| {re.escape(one.name)} \|.*\| {re.escape(one.licence)} \|", listed, re.MULTILINE
        ), one


def test_every_package_has_an_oldest_version() -> None:
    assert all(map(lowest, required()))


def test_what_has_no_wheel_is_found_and_the_rest_is_not_asked_for_one_by_one() -> None:
    asked: list[tuple[str, ...]] = []

    def ask(packages: Sequence[str], python: str, platform: str) -> bool:
        asked.append((*packages, python, platform))
        return not ("rtoml" in packages and python == "3.14" and platform.startswith("Windows"))

    found = list(lacking(["click", "rtoml"], ask))
    assert [(one.package, one.platform, one.pythons) for one in found] == [
        ("rtoml", "Windows, x86-64", ("3.14",)),
        ("rtoml", "Windows, ARM 64", ("3.14",)),
    ]
    assert len(asked) == len(PLATFORMS) * len(PYTHONS) + 2 * 2


def test_wheels_are_asked_for_with_every_python_that_jobkit_names() -> None:
    project = tomllib.loads(PYPROJECT.read_text("utf-8"))["project"]
    named = [one.rpartition(" :: ")[2] for one in project["classifiers"] if ":: Python :: 3." in one]
    assert tuple(named) == PYTHONS
    assert {re.split("[<>]", one)[0] for one in all_packages()} >= {
        "click",
        "rtoml",
        "pillow",
        "pyarrow",
        "markupsafe",
    }
