"""`jobkit rules`: the rule catalogue."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Color, Output, TableFormat
from jobkit.units.errors import MisuseError

app = plain_app()


@app.command()
def rules(
    name: Annotated[
        str | None, typer.Argument(metavar="[NAME]", help="A rule to explain; else list all.")
    ] = None,
    form: TableFormat = "text",
    output: Output = None,
    color: Color = "auto",
) -> None:
    """List the rules of lint, or explain one: what it finds, why it matters, how to fix it, an example."""
    from jobkit.cli.call.show_page import show_page
    from jobkit.jobs.naming import spelled
    from jobkit.lint.documentation import explain
    from jobkit.lint.rules.catalogue import all_rules, guards
    from jobkit.lint.rules.nearest import suggest
    from jobkit.pages.findings.rules import rule_page, rules_page

    known = all_rules()
    if name is None:
        answer = rules_page(map(explain, known.values()), guards())
    elif (rule := spelled(name, known)) is not None:
        answer = rule_page(explain(known[rule]), guards())
    else:
        raise MisuseError(f"there is no rule {name}", suggest(name, known, "see `jobkit rules`"))
    show_page(answer, form, output, color)
