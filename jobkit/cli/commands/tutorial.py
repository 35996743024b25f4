"""`jobkit tutorial`: from an empty folder to a bill."""

from __future__ import annotations

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.streams import answer

app = plain_app()


@app.command()
def tutorial() -> None:
    """Print the tutorial: from an empty folder to a bill, in ten minutes.

    It is Markdown, and reads as it is; a pager shows it page by page.
    """
    from importlib.resources import files

    answer(files("jobkit").joinpath("tutorial.md").read_text("utf-8"))
