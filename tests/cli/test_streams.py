"""What is said fits the terminal it is said to; to a file or a pipe a line is a line."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.terminal import Terminal
from tests.conftest import Run

SLIP = ["verdict", "23.4", "10 Ω"]
SAID = 'jobkit: "10 Ω" is one value, not a limit; write ">= 10 Ω", "<= 10 Ω" or "10 Ω ± 5 %"'


@pytest.mark.parametrize("columns", [40, 80, 200])
def test_at_a_terminal_lines_end_between_words(tmp_path: Path, columns: int) -> None:
    with Terminal(SLIP, tmp_path, {"COLUMNS": str(columns)}) as there:
        assert there.ends() == 2
        lines = there.shown.splitlines()
    assert max(map(len, lines)) <= columns
    assert " ".join(" ".join(lines).split()) == SAID


def test_elsewhere_a_line_stays_one_line(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    assert run(*SLIP).err == f"{SAID}\n"
