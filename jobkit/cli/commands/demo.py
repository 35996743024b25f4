"""`jobkit demo`: the example book as a real repository."""

from __future__ import annotations

from pathlib import Path
from shlex import quote
from typing import Annotated

import typer

from jobkit.cli.call.command import plain_app
from jobkit.cli.call.streams import say
from jobkit.units.errors import MisuseError

app = plain_app()


@app.command()
def demo(folder: Annotated[str, typer.Argument(metavar="DIR", help="A new or empty folder.")]) -> None:
    """Create the example book: an invented bench with its jobs, in git, with the history of two technicians."""
    from jobkit.book.disk.errors import in_words
    from jobkit.book.disk.named import place_named
    from jobkit.book.git.fast_import import make_repo
    from jobkit.book.setup.example import history
    from jobkit.cli.bench.writing import tell

    root = Path(folder)
    if root.exists() and not root.is_dir():
        raise MisuseError(f"{folder} is not a folder", "name a folder that is new or empty")
    if root.is_dir() and any(root.iterdir()):
        raise MisuseError(f"{folder} is not empty", "name a folder that is new or empty")
    commits = list(history())
    with in_words(folder, "written"):
        root = Path(str(place_named(folder)))
        root.mkdir(parents=True, exist_ok=True)
    make_repo(root, commits)
    last = commits[-1].at.date()
    tell(f"{folder}: {len(commits)} commits, {commits[0].at.date()} to {last}")
    say(
        f"next: cd {quote(str(folder))} && jobkit week --on {last}; `jobkit show 47` is one job, "
        "`jobkit trail 47` its history; after `jobkit wire` git log -p reads like a diary"
    )
