"""The pictures by name, each drawn from what a command prints of the example book."""

from __future__ import annotations

import contextlib
import io
import os
import shlex
import tempfile
from pathlib import Path
from typing import NamedTuple
from unittest.mock import patch

from jobkit.cli.start.main import main
from tests.books import EXAMPLE
from tests.pictures.drawings import sheet
from tests.pictures.terminal import CODE, terminal_svg

FOLDER = Path(__file__).parent
_DAY = "2026-11-20"


class Shown(NamedTuple):
    """A picture: what it shows in words, the command, and from which line of its answer up to which."""

    title: str
    command: str
    since: str = ""
    until: str = ""


SHOWN = {
    "week.svg": Shown("One week of the bench on one page", "jobkit week 2026-W43", until="Unpaid"),
    "suspects.svg": Shown(
        "The possible causes of a fault, and the check to make next",
        "jobkit suspects 55",
        until="What a result",
    ),
    "heat.svg": Shown("A heating against the limits of package and solder", "jobkit heat 26", until="Checks"),
    "board.svg": Shown(
        "Where each part is, which channels fail, and the damaged pads under a package",
        "jobkit show 62",
        since="The board, seen",
        until="Heatings",
    ),
}
_REPORT_TITLE = (
    "Readings, a heating and a load run in the report for the client. Diamond: as it came. "
    "Disc: at the end. Bar: what good boards read."
)
REPORT = ("report.svg", _REPORT_TITLE)


def pictures() -> dict[str, str]:
    """Draw all pictures."""
    drawn = {name: terminal_svg(one.title, one.command, _shown(one)) for name, one in SHOWN.items()}
    name, title = REPORT
    return {**drawn, name: sheet(title, answer("jobkit report 47", "--format", "html"))}


def _shown(shown: Shown) -> str:
    """Take the lines of the answer that are shown."""
    lines = answer(shown.command, "--color", "always").rstrip("\n").split("\n")
    begin = _at(shown.since, lines) if shown.since else 0
    end = _at(shown.until, lines) if shown.until else len(lines)
    left_out = ["..."] if shown.since else []
    return "\n".join([*left_out, *lines[begin:end]]).rstrip("\n")


def _at(begins: str, lines: list[str]) -> int:
    return next(number for number, line in enumerate(lines) if CODE.sub("", line).startswith(begins))


def answer(command: str, *more: str) -> str:
    """Run a command on the example book, 80 columns wide, on its last day."""
    words = [*shlex.split(command)[1:], "--book", str(EXAMPLE), *more]
    if "heat" not in words:
        words += ["--on", _DAY]
    out = io.StringIO()
    with tempfile.TemporaryDirectory() as cache:
        environment = {"COLUMNS": "80", "XDG_CACHE_HOME": cache}
        with patch.dict(os.environ, environment), contextlib.redirect_stdout(out):
            status = main(words)
    assert status == 0, f"{command} ended with {status}"
    return out.getvalue()
