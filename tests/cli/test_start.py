"""Help is there at once: a command loads what it needs when it is run."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import click
import pytest
import typer
from typer.core import TyperGroup

from jobkit.cli.call import quick
from jobkit.cli.start.app import COMMANDS, app, command_named

EXAMPLE = Path(__file__).parent.parent.parent / "jobs_example"
AT_WORK = {"rtoml", "jsonschema_rs", "jobkit.book.read.load", "jobkit.pages.forms.answer_forms"}


def loaded_by(*words: str) -> set[str]:
    start = f"from jobkit.cli.start.main import main; assert main({words!r}) == 0"
    code = f"import sys; {start}; print(); print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
    return set(done.stdout.decode().split("\n")[-2].split())


@pytest.mark.parametrize("command", COMMANDS)
def test_no_help_loads_what_only_the_work_needs(command: str) -> None:
    assert not {*AT_WORK, "tomlkit", "jobkit.book.git"} & loaded_by(command, "--help")


def test_the_work_does_load_it() -> None:
    words = ("--no-cache", "--book", str(EXAMPLE), "week", "--on", "2026-11-20")
    assert loaded_by(*words) >= {*AT_WORK, "jobkit.book.git"}


@pytest.mark.parametrize(
    ("words", "unneeded"),
    [
        (
            ("show", "47"),
            {"click", "typer", "wcwidth", "jobkit.pages.bench.design", "jobkit.lint.registry", "jinja2"},
        ),
        (("week", "--on", "2026-11-20"), {"wcwidth", "jobkit.lint.registry", "jinja2"}),
        (("queue", "--on", "2026-11-20"), {"wcwidth", "jobkit.lint.registry", "jinja2"}),
        (("lint", "--on", "2026-11-20"), {"click", "typer", "wcwidth", "jinja2", "jobkit.pages.forms.text"}),
    ],
    ids=lambda one: one[0] if isinstance(one, tuple) else "",
)
def test_a_command_loads_no_more_than_it_works_with(words: tuple[str, ...], unneeded: set[str]) -> None:
    assert not unneeded & loaded_by("--no-cache", "--book", str(EXAMPLE), *words)


@pytest.mark.parametrize("command", quick.OPTIONS)
def test_a_plain_call_has_the_options_of_the_command(command: str) -> None:
    made, known = command_named(command), quick.OPTIONS[command]
    assert made is not None
    options = {name: one for one in made.params for name in one.opts if name.startswith("-")}
    del options["--book"]
    flags = {name for name, one in options.items() if getattr(one, "is_flag", False)}
    lists = {name for name, one in options.items() if one.multiple}
    assert (flags, lists, {*options} - flags - lists) == ({*known.flags}, {*known.lists}, {*known.values})


READ = ("read", "vcore", "0.31", "vmem", "23.4")


@pytest.mark.parametrize(
    ("words", "read"),
    [
        (READ, {"books": (), "words": READ[1:]}),
        (("--book", "a", *READ, "--book", "b"), {"books": ("a", "b"), "words": READ[1:]}),
        ((*READ, "--as-is", "--again", "24", "--again", "25", "--at", "9:00"),
         {"books": (), "words": READ[1:], "as_is": True, "again": ("24", "25"), "at": "9:00"}),
        (("read",), None),
        ((*READ, "--help"), None),
        ((*READ, "--at"), None),
        ((*READ, "--at=9:00"), None),
        ((*READ, "--", "x"), None),
        (("--debugging", *READ), None),
    ],
)  # fmt: skip
def test_a_plain_call_of_read_is_read_and_any_other_left(words: tuple[str, ...], read: object) -> None:
    assert quick.read_options([*words]) == read


def test_the_help_of_all_loads_none_of_them() -> None:
    assert not {name for name in loaded_by("--help") if name.startswith("jobkit.cli.commands.")}


@pytest.mark.parametrize("width", [40, 80, 200])
def test_the_commands_are_listed_as_the_library_lists_them(width: int) -> None:
    group = typer.main.get_command(app)
    assert isinstance(group, TyperGroup)
    ours, theirs = click.HelpFormatter(width=width), click.HelpFormatter(width=width)
    group.format_commands(click.Context(group), ours)
    TyperGroup.format_commands(group, click.Context(group), theirs)
    assert ours.getvalue() == theirs.getvalue()
