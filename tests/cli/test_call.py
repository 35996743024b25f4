"""What a call without a command, or with a wrong choice, is answered with."""

from __future__ import annotations

from pathlib import Path

import pytest

from jobkit import __version__
from tests.conftest import Run

EXAMPLE = Path(__file__).parents[2] / "jobs_example"


def test_the_version_needs_no_command(run: Run) -> None:
    assert run("--version") == (0, f"jobkit {__version__}\n", "")


@pytest.mark.parametrize("words", [(), ("jot",)])
def test_who_names_nothing_is_told_what_there_is(run: Run, words: tuple[str, ...]) -> None:
    status, out, err = run(*words)
    assert (status, err) == (0, "")
    assert out.startswith("Usage: jobkit")


@pytest.mark.parametrize(
    "words",
    [("lint",), ("week",), ("show", "47"), ("verdict", "5 V", ">= 4 V"), ("rules",)],
    ids=lambda words: words[0],
)
def test_an_unknown_colour_choice_is_refused_everywhere(run: Run, words: tuple[str, ...]) -> None:
    status, out, err = run("--book", EXAMPLE, *words, "--color", "blue")
    assert (status, out) == (2, "")
    assert err == 'jobkit: --color cannot be "blue"; choose auto, always or never\n'
