"""What the shell is told, and a real bash that asks."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.books import EXAMPLE
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
        ("completion ", "bash zsh fish"),
        ("week --format ", "text markdown html json csv"),
        ("due --format i", "ics"),
        ("report 47 --lang ", "en de"),
        ("bill --lang d", "de"),
        ("lint --format s", "sarif"),
        ("show --color n", "never"),
        ("verdict --decision ", "plain guarded"),
        ("earnings --by w", "week work"),
        ("summarise --waiting s", "shipping"),
        ("summarise --status r", "ready"),
        ("summarise --outcome b", "beyond-repair"),
        ("jot work --came d", "donor"),
        ("stock count --by ", ""),
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


@pytest.fixture
def shell(bench: AtBench, tmp_path: Path) -> Callable[[list[str]], list[str]]:
    """Run a shell in the book, in a home of its own, with this jobkit on its path; give the lines that it prints."""
    here = tmp_path / "bin"
    here.mkdir()
    (here / "jobkit").write_text(f'#!/bin/sh\nexec "{sys.executable}" -m jobkit "$@"\n')
    (here / "jobkit").chmod(0o755)
    home = tmp_path / "home"
    home.mkdir()
    env = {
        **os.environ,
        "PATH": f"{here}:{os.environ['PATH']}",
        "PYTHONPATH": str(EXAMPLE.parent),
        "HOME": str(home),
        "XDG_CONFIG_HOME": str(home),
        "TERM": "dumb",
    }

    def call(words: list[str]) -> list[str]:
        done = subprocess.run(
            words, cwd=bench.root, env=env, capture_output=True, text=True, check=True, timeout=60
        )
        assert done.stderr == ""
        return done.stdout.splitlines()

    return call


Shell = Callable[[list[str]], list[str]]


@pytest.mark.skipif(shutil.which("bash") is None, reason="there is no bash here")
def test_a_real_bash_completes(shell: Shell) -> None:
    """The script is read in and its function is called as bash would: with the words and the place of the cursor."""
    script = (
        'eval "$(jobkit completion bash)"; complete -p jobkit; '
        "COMP_WORDS=(jobkit jot seen m); COMP_CWORD=3; _jobkit_words; printf '%s\\n' \"${COMPREPLY[@]}\"; "
        "COMP_WORDS=(jobkit read vm); COMP_CWORD=2; _jobkit_words; printf '%s\\n' \"${COMPREPLY[@]}\""
    )
    assert shell(["bash", "-c", script]) == [
        "complete -o default -F _jobkit_words jobkit",
        r"memory\ test",
        "VMEM",
        "VMEM2",
    ]


_ZSH = r"""
zmodload zsh/zpty
zpty z zsh -f -i
zpty -w z "PS1=; PROMPT=; unsetopt zle_bracketed_paste; BEFORE; eval \"\$(jobkit completion zsh)\"; print rea''dy"
zpty -r -m z seen '*ready*'
zpty -w -n z $'LINE\t'
sleep 2
zpty -w -n z $'\x01print -r -- "<\x05>"\r'
zpty -r -m z seen $'*\n<*>*'
print -r -- ${${seen##*$'\n'<}%%>*}
"""


@pytest.mark.skipif(shutil.which("zsh") is None, reason="there is no zsh here")
@pytest.mark.parametrize("before", ["true", "autoload -Uz compinit && compinit"])
@pytest.mark.parametrize(
    ("typed", "completed"),
    [
        ("jobkit wal", "jobkit walk "),
        ("jobkit jot seen mem", r"jobkit jot seen memory\ test "),
        ("jobkit read v12 3 vcor", "jobkit read v12 3 VCORE "),
        ("jobkit week --format mark", "jobkit week --format markdown "),
        ("jobkit load ben", "jobkit load bench.toml "),
    ],
)
def test_a_real_zsh_completes(shell: Shell, before: str, typed: str, completed: str) -> None:
    """A zsh at a pseudo-terminal, with and without its own completion set up before: Tab is pressed."""
    assert shell(["zsh", "-f", "-c", _ZSH.replace("BEFORE", before).replace("LINE", typed)]) == [
        completed.strip()
    ]


@pytest.mark.skipif(shutil.which("fish") is None, reason="there is no fish here")
@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("jobkit wal", ["walk"]),
        ("jobkit jot seen mem", ["memory test"]),
        ("jobkit jot seen 'memory test' fa", ["failed"]),
        ("jobkit read v12 3 vm", ["VMEM", "VMEM2"]),
        ("jobkit week --format ", ["csv", "html", "json", "markdown", "text"]),
        ("jobkit load ben", ["bench.toml"]),
    ],
)
def test_a_real_fish_completes(shell: Shell, typed: str, found: list[str]) -> None:
    """fish tells by itself what it would complete (`complete -C`)."""
    asked = f"jobkit completion fish | source; complete -C {shlex.quote(typed)}"
    assert sorted(line.split("\t")[0] for line in shell(["fish", "-c", asked])) == sorted(found)


def test_an_unknown_shell_is_refused(bench: AtBench) -> None:
    ran = bench._run("completion", "tcsh")
    assert (ran.status, ran.err) == (
        2,
        'jobkit: "tcsh" is not a supported shell; choose one of bash, zsh, fish\n',
    )
