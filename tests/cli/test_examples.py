"""Each help ends with an example, and each example runs in the example book."""

from __future__ import annotations

import io
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import click
import pytest

from jobkit.cli.call.examples import EXAMPLES
from jobkit.cli.start.app import COMMANDS, command_named
from jobkit.cli.start.main import main
from tests.conftest import Ran, Run
from tests.story import set_stage

BEFORE = {
    "jot start": (),
    "jot stop": ("jot start",),
    "jot wait over": ("jot wait parts",),
    "jot pad u6 C3 repaired": ("jot pad u6 C3 damage lifted carries data",),
    "jot credit": ("jot agreement 160", "jot outcome repaired", "jot invoice"),
    "jot refund": ("jot payment 50",),
    "jot invoice": ("jot agreement 160", "jot outcome repaired"),
    "undo": ("jot note 'typed too early'",),
}
"""What has to be there for an example to make sense, by its first words."""


def helps() -> Iterator[tuple[str, click.Command]]:
    """Yield every command, and the commands below it, with its words."""
    for name in COMMANDS:
        command = command_named(name)
        assert command
        yield name, command
        if isinstance(command, click.Group):
            ctx = click.Context(command, info_name=name)
            for inner in command.list_commands(ctx):
                below = command.get_command(ctx, inner)
                assert below
                yield f"{name} {inner}", below


@pytest.mark.parametrize(("words", "command"), [pytest.param(*one, id=one[0]) for one in helps()])
def test_each_help_ends_with_an_example(words: str, command: click.Command) -> None:
    with click.Context(command, info_name=words) as ctx:
        shown = command.get_help(ctx)
    _, _, last = shown.partition("\n  Example")
    lines = [line.strip() for line in last.splitlines()[1:]]
    assert lines == list(EXAMPLES[words])
    assert all(line.startswith(f"jobkit {words}") for line in lines)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo") / "book"
    assert main(["demo", str(folder)]) == 0
    return folder


LINES = [line for lines in EXAMPLES.values() for line in lines]


@pytest.mark.parametrize("line", LINES)
def test_each_example_runs(
    line: str, run: Run, demo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = tmp_path / "book"
    shutil.copytree(demo, book)
    set_stage(monkeypatch, book, datetime(2026, 11, 20, 18, 0, tzinfo=UTC))
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO()))
    run("on", "61", "--by", "ida")
    for before in next((BEFORE[words] for words in BEFORE if line.startswith(f"jobkit {words}")), ()):
        assert run(*shlex.split(before)).status == 0
    ran = called(shlex.split(line)[1:], run)
    assert not problems(line, ran), ran.out + ran.err


def called(words: list[str], run: Run) -> Ran:
    """Call jobkit; the language server needs streams of its own, and ends with them."""
    if words != ["editor"]:
        return run(*(Path(word).expanduser() if word.startswith("~") else word for word in words))
    command = [sys.executable, "-m", "jobkit", *words]
    ended = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False)
    return Ran(ended.returncode, ended.stdout, ended.stderr)


def problems(line: str, ran: Ran) -> str:
    """Say what is wrong with how an example ended; "" where nothing is."""
    if line == "jobkit book-in":  # it asks, and here there is no terminal
        return "" if "--client" in ran.err else "asks for nothing"
    if ran.status:
        return f"ended with {ran.status}"
    return "internal error" if "internal" in ran.err else ""
