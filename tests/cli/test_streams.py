"""What is said fits the terminal it is said to; to a file or a pipe a line is a line."""

from __future__ import annotations

import json
import subprocess
import sys
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


CALL = f"{sys.executable} -m jobkit"
FAILS = f"{CALL} verdict '9 V' '<= 4 V'"


def by_shell(line: str, folder: Path, **more: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(["sh", "-c", line], cwd=folder, env=more, capture_output=True, check=False)


@pytest.mark.parametrize("closed", [">&-", "2>&-", ">&- 2>&-"])
def test_closed_from_the_start_a_stream_takes_what_comes(tmp_path: Path, closed: str) -> None:
    ran = by_shell(f"{FAILS} {closed}", tmp_path)
    assert (ran.returncode, ran.stderr) == (1, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_no_room_for_the_answer_is_told_in_a_line(tmp_path: Path) -> None:
    ran = by_shell(f"{FAILS} >/dev/full", tmp_path)
    assert ran.returncode == 2
    assert ran.stderr.decode() == (
        "jobkit: the answer cannot be written: no space left on device; check the output file or pipe\n"
    )


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8"])
def test_data_is_the_same_in_every_encoding(tmp_path: Path, encoding: str) -> None:
    ran = by_shell(f"{CALL} verdict '5 kohm' '>= 4 Ω' --format json", tmp_path, PYTHONIOENCODING=encoding)
    assert json.loads(ran.stdout.decode(encoding))["low"] == {"value": 4, "unit": "Ω", "text": "4 Ω"}


def test_a_page_is_spelled_out(tmp_path: Path) -> None:
    ran = by_shell(f"{CALL} verdict '5 kohm' '4 .. 6 kΩ'", tmp_path, PYTHONIOENCODING="ascii")
    assert b"4 .. 6 kohm" in ran.stdout
