"""The tutorial: each command of it prints what it shows, and `jobkit tutorial` prints the tutorial."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path

import pytest

from jobkit.cli.start.main import main
from tests.conftest import Run
from tests.story import Insert, Step, differences, play_all, set_stage, steps

ROOT = Path(__file__).parent.parent
TUTORIAL = (ROOT / "jobkit" / "tutorial.md").read_text("utf-8")


def test_each_command_of_the_tutorial_prints_what_it_shows(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    set_stage(monkeypatch, tmp_path, datetime(2026, 11, 23, 9, 0, tzinfo=UTC))
    assert not differences(TUTORIAL, minutes=10)
    assert main(["lint", "--strict"]) == 0


def test_typed_within_a_minute_it_meets_no_warning(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    set_stage(monkeypatch, tmp_path, datetime(2026, 11, 23, 9, 0, tzinfo=UTC))
    printed = "\n".join(got for _, got in play_all(TUTORIAL, minutes=0))
    assert not re.findall(r"jobkit: (?:warning|error).*", printed)
    assert main(["lint", "--strict"]) == 0


def test_the_tutorial_goes_from_an_empty_folder_to_the_week() -> None:
    told = list(steps(TUTORIAL))
    words = " ".join(step.command for step in told if isinstance(step, Step))
    for command in (
        "init",
        "book-in",
        "read",
        "suspects",
        "report",
        "jot invoice",
        "bill",
        "jot sent",
        "week",
    ):
        assert f"jobkit {command}" in words
    own = {"bench.toml", "meters.toml", "stock.toml", "private/clients.toml", "boards/aldreth-a2.toml"}
    assert {step.path for step in told if isinstance(step, Insert)} == own
    assert len(told) <= 50  # ten minutes


def test_the_command_prints_the_tutorial_and_the_readme_leads_to_it(run: Run) -> None:
    assert run("tutorial").out == TUTORIAL
    readme = (ROOT / "README.md").read_text("utf-8")
    assert "(jobkit/tutorial.md)" in readme
    assert "`jobkit tutorial`" in readme
