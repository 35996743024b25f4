"""Every page that is looked at stays within the terminal, with sixteen colours at most, or none."""

from __future__ import annotations

import re
import shlex

import pytest
from wcwidth import wcswidth

from jobkit.cli.call.examples import EXAMPLES
from tests.books import EXAMPLE
from tests.conftest import Run

pytestmark = pytest.mark.slow

LOOKS = (
    "memory", "heat", "load", "suspects", "show", "summarise", "week", "queue", "due", "usual", "bill", "earnings",
    "stock", "warranty", "comebacks", "report", "rules",
)  # fmt: skip
LINES = [line for name in LOOKS for line in EXAMPLES[name] if " -o " not in line and "jobs/" not in line]
UNDATED = {"memory", "heat", "load", "rules"}
SIXTEEN = re.compile(r"\x1b\[(?:0|1|3[0-7]|9[0-7])?m")


def shown(run: Run, line: str, *more: str) -> str:
    words = shlex.split(line)[1:]
    book = () if words[0] == "rules" else ("--book", str(EXAMPLE))
    day = () if words[0] in UNDATED else ("--on", "2026-11-20")
    return run(*words, *book, *day, *more).out


@pytest.mark.parametrize("width", [80, 100, 200])
def test_no_line_is_wider_than_the_terminal(run: Run, monkeypatch: pytest.MonkeyPatch, width: int) -> None:
    monkeypatch.setenv("COLUMNS", str(width))
    wide = [line for line in LINES if max(map(wcswidth, shown(run, line).splitlines())) > width]
    assert not wide


def test_colours_are_of_the_sixteen_and_carry_nothing_by_themselves(run: Run) -> None:
    for line in LINES:
        plain, coloured = shown(run, line), shown(run, line, "--color", "always")
        assert "\x1b" not in plain
        assert "\x1b" not in SIXTEEN.sub("", coloured)
        assert SIXTEEN.sub("", coloured) == plain, line
