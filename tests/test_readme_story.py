"""The first day that the README tells: its commands, one after the other, print what it shows."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.story import differences, set_stage, steps

README = (Path(__file__).parent.parent / "README.md").read_text("utf-8")
STORY = README.partition("\n## Your first day\n")[2].partition("\n## ")[0]


def test_the_first_day_prints_what_the_readme_shows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    set_stage(monkeypatch, tmp_path, datetime(2026, 11, 23, 9, 0, tzinfo=UTC))
    assert len(list(steps(STORY))) > 15
    assert not differences(STORY, minutes=20)
