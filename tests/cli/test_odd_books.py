"""What commands say of books that are broken in part, or hold what a terminal would obey."""

from __future__ import annotations

from pathlib import Path

import pytest
import rtoml

from tests.books import JOB, JOB_PATH, make_book
from tests.conftest import Run
from tests.schema.complete import complete, spoiled
from tests.schema.schemas import KINDS

SUMS = [("week",), ("summarise",), ("due",), ("queue",), ("stock",), ("comebacks",), ("earnings",)]


@pytest.mark.parametrize(
    "words", [*SUMS, ("usual", "alder-a1"), ("warranty", "1")], ids=lambda words: words[0]
)
def test_an_answer_that_lacks_a_file_says_so(tmp_path: Path, run: Run, words: tuple[str, ...]) -> None:
    book = make_book(tmp_path, {JOB_PATH: JOB, "jobs/2026/K26-0002.toml": "id = "})
    ran = run("--book", book, *words, "--on", "2026-11-20")
    assert ran.status == 0
    assert ran.err == "jobkit: 1 of 2 job files could not be read; `jobkit lint` names them\n"


@pytest.mark.parametrize("form", ["text", "markdown"])
@pytest.mark.parametrize(
    "words", [("summarise",), ("show", "1"), ("report", "1")], ids=lambda words: words[0]
)
def test_a_terminal_is_told_nothing_by_a_job(
    tmp_path: Path, run: Run, words: tuple[str, ...], form: str
) -> None:
    sly = JOB.replace("No picture", r"No\u001b[2Jpicture\u202e")
    book = make_book(tmp_path, {JOB_PATH: sly})
    out = run("--book", book, *words, "--on", "2026-11-20", "--format", form).out
    assert "picture" in out
    assert not [letter for letter in out if letter != "\n" and not letter.isprintable()]


@pytest.mark.parametrize("kind", KINDS)
def test_a_list_of_a_table_in_any_place_is_a_finding_and_ends_no_command(
    tmp_path: Path, run: Run, kind: str
) -> None:
    """Where lists of texts are meant it was taken for a list of tables, and what reads the texts fell over it."""
    paths = {
        "job": "jobs/2026/K26-0047.toml",
        "board": "boards/tarnhow-t7-16.toml",
        "clients": "private/clients.toml",
    }
    book = make_book(tmp_path, {paths.get(one, f"{one}.toml"): rtoml.dumps(complete(one)) for one in KINDS})
    spoiled_file = book / paths.get(kind, f"{kind}.toml")
    for doc in spoiled(complete(kind), [{}], 3):
        spoiled_file.write_text(rtoml.dumps(doc), "utf-8")
        ran = run("--book", book, "lint", "--on", "2026-11-20")
        assert ran.status == 1
        assert f"{spoiled_file.relative_to(book).as_posix()}:" in ran.out
        assert ran.err == ""
    for words in (*SUMS, ("show", "47"), ("report", "47"), ("bill", "47"), ("warranty", "47")):
        assert run("--book", book, *words, "--on", "2026-11-20").status in {0, 2}, words
