"""The commands by name; each is loaded only when it is called, and what it needs only when it is run."""

from __future__ import annotations

import importlib
import re
from collections.abc import Sequence
from functools import cache
from typing import Annotated, Any

import click
import typer
from typer.core import TyperGroup

from jobkit import __version__
from jobkit.cli.call.command import plain_app
from jobkit.cli.call.examples import with_examples
from jobkit.jobs.renamed import COMMANDS as RENAMED_COMMANDS
from jobkit.jobs.renamed import OPTIONS, renamed
from jobkit.units.errors import MisuseError
from jobkit.units.slip import either, nearest

COMMANDS = {
    "init": "a new book",
    "demo": "the example book, with its history",
    "tutorial": "from an empty folder to a bill, in ten minutes",
    "book-in": "a new job file, from options or questions",
    "new-design": "a first board file of a design",
    "on": "select the job to write to",
    "read": "append readings and show their verdicts",
    "walk": "measure the points one by one",
    "jot": "append work, parts, trials, notes and dates",
    "undo": "undo the last entry",
    "tidy": "write units and limits in their usual spelling",
    "upgrade": "convert older files to the current format",
    "lint": "check the book, or only what is staged",
    "rules": "list the rules of lint, or explain one",
    "verdict": "check one value against a limit",
    "memory": "the error log of a memory test, line by line",
    "heat": "check a thermocouple log against package and solder",
    "load": "check the log of a load run, or compare two",
    "suspects": "the possible causes of a fault, and the next check",
    "show": "one job on one screen",
    "summarise": "the jobs as a table, with filters",
    "week": "the weekly bench summary",
    "queue": "what to work on next",
    "due": "what falls due, soonest first",
    "usual": "the usual readings of a design",
    "bill": "the bill of a job, with tax",
    "earnings": "what the bench earns per hour",
    "stock": "parts on hand, what to order, donors",
    "warranty": "whether a job is under warranty, and until when",
    "comebacks": "how many boards come back, how soon, and what a longer warranty costs",
    "trail": "the history of a job from git, in plain words",
    "diff": "what changed, as readings and verdicts, not lines",
    "wire": "set up git for this book: hook, diffs, merges",
    "report": "the paper for the client",
    "phrases": "the words of papers, to put into another language",
    "label": "a label for the box, with a code to scan",
    "site": "the book as pages for a browser",
    "export": "the book as tables for query engines",
    "editor": "the language server for your editor",
    "completion": "shell completion script",
}
"""Every command and what it does, in the order in which help lists them; the module has the command's name."""


@cache
def command_named(name: str) -> click.Command | None:
    """Load a command; None where there is none of that name."""
    if name not in COMMANDS:
        return None
    module = importlib.import_module(f"jobkit.cli.commands.{name.replace('-', '_')}")
    command = typer.main.get_command(module.app)
    command.name = name
    command.short_help = COMMANDS[name]
    return with_examples(command, name)


class Commands(TyperGroup):
    """A group whose commands live in modules of their own, loaded when called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Name the commands."""
        del ctx
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Load a command."""
        del ctx
        return command_named(cmd_name)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands in the help, as the library would if it loaded each of them."""
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command; a mistyped one is answered with the nearest."""
        if args and args[0] not in COMMANDS:
            new = renamed(args[0], RENAMED_COMMANDS, COMMANDS)
            raise MisuseError(f'unknown command "{args[0]}"', new or _nearest_command(args[0]))
        return super().resolve_command(ctx, args)


app = plain_app(cls=Commands, needs_words=True)


def _say_version(asked: bool) -> None:  # noqa: FBT001 - how the library hands it over
    if asked:
        typer.echo(f"jobkit {__version__}")
        raise typer.Exit


@app.callback(help="Job files in plain text and git for a board repair bench.")
def whole(
    ctx: typer.Context,
    book: Annotated[
        list[str] | None,
        typer.Option("--book", metavar="PATH", help="Book folder (default: nearest parent with bench.toml)."),
    ] = None,
    version: Annotated[  # noqa: ARG001, FBT002 - answered before a command is missed
        bool,
        typer.Option("--version", is_eager=True, callback=_say_version, help="Show the version and exit."),
    ] = False,
) -> None:
    """Take what is before the command."""
    ctx.obj = tuple(book or ())


@cache
def _all_commands() -> click.Command:
    """Make the group of all commands, which takes the library longer than many an answer takes."""
    return typer.main.get_command(app)


def run_app(words: Sequence[str]) -> int:
    """Run a command line and return its exit status; a slip in it becomes a MisuseError of one line."""
    command = _all_commands()
    try:
        # Not `command.main`: it answers a closed pipe by itself, and with another status than lint does.
        with command.make_context("jobkit", list(words)) as ctx:
            status: Any = command.invoke(ctx)
    except click.exceptions.NoArgsIsHelpError as lost:
        # Who names nothing asks what there is.
        typer.echo(lost.format_message())
        return 0
    except click.exceptions.Exit as done:
        return done.exit_code
    except click.NoSuchOption as slip:
        raise MisuseError(f'unknown option "{slip.option_name}"', _nearest_option(slip)) from slip
    except click.BadParameter as slip:
        raise MisuseError(*_bad_value(slip)) from slip
    except click.UsageError as slip:
        raise MisuseError(*_told(slip)) from slip
    except click.exceptions.Abort as abort:
        raise KeyboardInterrupt from abort
    return status if isinstance(status, int) else 0


_NO_COMMAND = re.compile(r"No such command '([^']*)'")


def _told(slip: click.UsageError) -> tuple[str, str]:
    """Say what is wrong and what to type; a mistyped command of a command is answered with the nearest."""
    found = _NO_COMMAND.match(slip.message)
    group = slip.ctx.command if slip.ctx else None
    if not (found and slip.ctx and isinstance(group, TyperGroup)):
        return slip.format_message().rstrip("."), _see_help(slip)
    above = slip.ctx.command_path.removeprefix("jobkit ")
    near = nearest(found[1], tuple(group.commands))
    mend = f"did you mean `jobkit {above} {near}`?" if near else _see_help(slip)
    return f'unknown command "{above} {found[1]}"', mend


_NO_NUMBER = re.compile(r"'(.*)' is not a valid (?:float|integer)\.?", re.DOTALL)


def _bad_value(slip: click.BadParameter) -> tuple[str, str]:
    """Say which option has a value that is not a number; other slips in the words of the library."""
    found = _NO_NUMBER.fullmatch(slip.message)
    if found is None or slip.param is None:
        return slip.format_message().rstrip("."), _see_help(slip)
    return f'{slip.param.opts[0]} cannot be "{found[1]}"', "write a number, such as 4"


def _see_help(slip: click.UsageError) -> str:
    return f"see `{slip.ctx.command_path if slip.ctx else 'jobkit'} --help`"


def _is_of_a_command_below(option: str, ctx: click.Context) -> bool:
    group = ctx.command
    if not isinstance(group, TyperGroup):
        return False
    below = (group.get_command(ctx, name) for name in group.list_commands(ctx))
    return any(option in _options(one) for one in below if one)


def _options(command: click.Command) -> list[str]:
    return [name for one in command.params for name in one.opts]


def _nearest_option(slip: click.NoSuchOption) -> str:
    if slip.ctx and _is_of_a_command_below(slip.option_name, slip.ctx):
        return f"write it at the end: `{slip.ctx.command_path} … {slip.option_name} …`"
    known = _options(slip.ctx.command) if slip.ctx else []
    near = f"did you mean {either(tuple(slip.possibilities))}?" if slip.possibilities else _see_help(slip)
    return renamed(slip.option_name, OPTIONS, known) or near


def _nearest_command(word: str) -> str:
    from difflib import get_close_matches

    near = get_close_matches(word, COMMANDS, n=1)
    return f"did you mean `jobkit {near[0]}`?" if near else "see `jobkit --help`"
