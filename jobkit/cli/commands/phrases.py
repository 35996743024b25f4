"""`jobkit phrases`: the phrases of papers that a language lacks, as a catalogue to fill in."""

from __future__ import annotations

from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.options import Books, Output, one_book

app = plain_app()


@app.command()
def phrases(
    ctx: typer.Context,
    lang: Annotated[str, typer.Option("--lang", metavar="TAG", help="The language, such as nl or de-AT.")],
    output: Output = None,
    book: Books = None,
) -> None:
    """Print the phrases of papers that a language lacks, as a catalogue (.po file of gettext) to fill in.

    Append them to papers/TAG.po in your book; words that you leave empty are in English.
    """
    from jobkit.cli.call.output import deliver
    from jobkit.cli.call.phrases_lacking import phrases_lacking
    from jobkit.cli.call.rollup import open_at
    from jobkit.cli.call.streams import say
    from jobkit.pages.language.catalogues import tag_typed

    opened = open_at(one_book(ctx, book), None)
    tag = tag_typed(lang)
    text, empty = phrases_lacking(opened.shelf, opened.bench.settings, tag)
    deliver(text, output, "po")
    if empty:
        say(f"jobkit: {empty} phrases in papers/{tag}.po are still without words")
    elif not text:
        say(f'jobkit: there are words for all phrases in the language "{tag}"')
