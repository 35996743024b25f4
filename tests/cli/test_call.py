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


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ("--book", "new\nline", "week"),
            "jobkit: there is no new\\nline; name the folder of a book with --book\n",
        ),
        (("--book", "\033[31mred", "week"), "jobkit: there is no \\x1b[31mred; name the folder"),
        (("init", "a" * 300), "too long; "),
    ],
    ids=["two lines", "a terminal's own", "too long"],
)
def test_an_odd_name_is_told_in_one_line(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], said: str
) -> None:
    monkeypatch.chdir(tmp_path)
    status, out, err = run(*words)
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert said in err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("queue", "--hours", "4h"), '--hours cannot be "4h"; write a number, such as 4'),
        (("memory", "47", "--width", "x"), '--width cannot be "x"; write a number, such as 4'),
        (("stock", "cuont", "x", "3"), 'unknown command "stock cuont"; did you mean `jobkit stock count`?'),
        (("jot", "date", "--sentt", "x"), "unknown option"),
        (("jot", "--job", "47", "sent"), "write it at the end: `jobkit jot … --job …`"),
        (
            ("verdict", ".345", "1 Ω .. 2 Ω", "--meter", "dmm9"),
            'there is no meter "dmm9"; meters.toml has dmm-3, dmm-2, dmm-1, lcr-1 and others',
        ),
        (
            ("week", "--on", "tomorow"),
            '"tomorow" is not a date; write it like 2026-10-19, today or yesterday',
        ),
    ],
    ids=["hours", "bits", "command of stock", "option", "option of a command below", "meter", "day"],
)
def test_a_slip_says_what_to_type(run: Run, words: tuple[str, ...], said: str) -> None:
    status, out, err = run("--book", EXAMPLE, *words)
    assert (status, out) == (2, "")
    assert said in err


@pytest.mark.parametrize("words", [("due",), ("show", "47"), ("trail", "47")], ids=lambda words: words[0])
def test_a_day_may_be_today_or_yesterday(run: Run, words: tuple[str, ...]) -> None:
    for day in ("today", "Yesterday"):
        assert run("--book", EXAMPLE, *words, "--on", day).status == 0


def test_the_help_of_each_span_names_its_day(run: Run) -> None:
    said = run("summarise", "--help").out
    assert all(said.count(f"{what} on this day") == 2 for what in ("Received", "Finished", "Sent"))


def test_the_next_step_can_be_pasted(run: Run, tmp_path: Path) -> None:
    assert f"next: cd '{tmp_path}/two words' && git init" in run("init", tmp_path / "two words").err


IN_A_FOLDER = [
    ("lint",),
    ("week",),
    ("show", "47"),
    ("init",),
    ("export", "x"),
    ("on", "5"),
    ("tidy", "a.toml"),
    ("wire",),
]


@pytest.mark.parametrize("words", IN_A_FOLDER, ids=" ".join)
def test_a_folder_that_was_deleted_is_said(
    run: Run, tmp_path: Path, words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    ran = run(*words)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err == "jobkit: the folder that you are in has been deleted; change to another one\n"


def test_a_book_that_is_named_can_be_used_from_a_folder_that_was_deleted(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "gone").mkdir()
    monkeypatch.chdir(tmp_path / "gone")
    (tmp_path / "gone").rmdir()
    assert run("--book", EXAMPLE, "lint", "--on", "2026-11-20").status == 0
    assert run("--book", EXAMPLE, "week", "2026-W43", "--on", "2026-11-20").status == 0
