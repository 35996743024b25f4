"""`jobkit lint`: check the book, or only what is staged."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Color, Output, Rev

app = plain_app()


@app.command()
def lint(
    ctx: typer.Context,
    paths: Annotated[
        list[str] | None, typer.Argument(metavar="[PATH]...", help="Files, folders or jobs (default: all).")
    ] = None,
    staged: Annotated[bool, typer.Option("--staged", help="Check what is staged in git.")] = False,
    rev: Rev = None,
    since: Annotated[
        str | None,
        typer.Option(
            "--since",
            metavar="REV",
            help="Check each commit after REV for new findings: for CI, which sees what no hook sees.",
        ),
    ] = None,
    stdin: Annotated[
        str | None,
        typer.Option(
            "--stdin",
            metavar="PATH",
            help="Check the text on stdin in the place of the file PATH, as an editor has it before you save.",
        ),
    ] = None,
    on: Annotated[
        str | None,
        typer.Option(
            "--on", metavar="DATE", help="Day to check on; later dates count as future (default: today)."
        ),
    ] = None,
    strict: Annotated[bool, typer.Option("--strict", help="Exit with 1 on a warning too.")] = False,
    form: Annotated[
        str, typer.Option("--format", metavar="text|json|sarif|github", help="The form of the answer.")
    ] = "text",
    output: Output = None,
    color: Color = "auto",
    book: Books = None,
) -> int:
    """Check the book against its schemas and rules.

    Exit status 1 if an error is found (with --strict, a warning), otherwise 0.
    """
    from jobkit.cli.check.lint_call import LintCall
    from jobkit.cli.check.linting import run

    books = (*ctx.obj, *(book or ()))
    return run(
        LintCall(books, tuple(paths or ()), staged, rev, strict, form, output, color, on, since, stdin)
    )
