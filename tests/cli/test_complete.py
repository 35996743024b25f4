"""What the shell is told, and a real bash that asks."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.conftest import AtBench


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("wal", "walk"),
        ("un", "undo"),
        ("on K", "K26-0007"),
        ("on 0", ""),
        ("on 7", "7"),
        ("show ", "K26-0007"),
        ("read v", "VCORE VMEM VMEM2 V12 V5 V3V3 V1V8 V0V8"),
        ("read vmem 23 pg", "PG1 PG2 PG3 PG4"),
        ("read --job ", "K26-0007"),
        ("read --meter d", "dmm-1 dmm-2"),
        ("read --me", "--meter"),
        ("usual r", "rowan-r3"),
        ("show --design r", "rowan-r3"),
        ("walk p", "proof"),
        ("jot wo", "work"),
        ("jot fin", "finished"),
        ("jot work re", "remove reball reflow rebuild-pads removal_alloy"),
        ("jot work fit q", "Q214"),
        ("jot work fit came n", "new"),
        ("jot used st", "stage-50a-5x6"),
        ("jot inject v", "V12 VCORE VMEM volts"),
        ("jot seen m", r"memory\ test"),
        ("jot pad q214 4 torn", "torn-off"),
        ("jot work --al", "--alloy"),
        ("rules point", "point-unknown"),
        ("completion ", "bash zsh"),
        ("--book . on K", ""),
        ("nonsense ", ""),
        ("jot nonsense x", ""),
    ],
)
def test_words(bench: AtBench, line: str, words: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(bench.root.parent if "--book" in line else bench.root)
    ran = bench._run("--complete", *line.split(" "))
    assert (ran.status, ran.err) == (0, "")
    found = ran.out.splitlines()
    assert found == (words.split(" ") if "\\" not in words else [words]) if words else found == []


def test_it_never_fails(bench: AtBench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(bench.root)
    (bench.root / "boards/rowan-r3.toml").write_bytes(b"\xff[")
    assert bench._run("--complete", "read", "v") == (0, "", "")
    monkeypatch.chdir(tmp_path)
    assert bench._run("--complete", "on", "") == (0, "", "")
    assert bench._run("--complete").status == 0


@pytest.mark.skipif(shutil.which("bash") is None, reason="there is no bash here")
def test_a_real_bash_completes(bench: AtBench, tmp_path: Path) -> None:
    """The script is read in and its function is called as bash would: with the words and the place of the cursor."""
    here = tmp_path / "bin"
    here.mkdir()
    (here / "jobkit").write_text(f'#!/bin/sh\nexec "{sys.executable}" -m jobkit "$@"\n')
    (here / "jobkit").chmod(0o755)
    script = (
        'eval "$(jobkit completion bash)"; complete -p jobkit; '
        "COMP_WORDS=(jobkit jot seen m); COMP_CWORD=3; _jobkit_words; printf '%s\\n' \"${COMPREPLY[@]}\"; "
        "COMP_WORDS=(jobkit read vm); COMP_CWORD=2; _jobkit_words; printf '%s\\n' \"${COMPREPLY[@]}\""
    )
    env = {**os.environ, "PATH": f"{here}:{os.environ['PATH']}"}
    done = subprocess.run(
        ["bash", "-c", script], cwd=bench.root, env=env, capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines() == [
        "complete -o default -F _jobkit_words jobkit",
        r"memory\ test",
        "VMEM",
        "VMEM2",
    ]


def test_an_unknown_shell_is_refused(bench: AtBench) -> None:
    ran = bench._run("completion", "tcsh")
    assert (ran.status, ran.err) == (2, 'jobkit: "tcsh" is not a supported shell; choose one of bash, zsh\n')
