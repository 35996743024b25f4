"""What a word means where files are named: a file, else the tail of a job's id; an answer that helps where neither."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.book.repo import GitRepo
from tests.books import JOB, JOB_PATH, make_book
from tests.conftest import Run

_LOUD = JOB.replace("0001", "0012").replace("2026-10-12", "2026-10-01")
_UNTIDY = JOB.replace("0001", "0022").replace("0.4 Ω", "0.4 ohm")


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Lay out a book of three jobs, one with an error and one untidy, and go there."""
    files = {"jobs/2026/K26-0012.toml": _LOUD, "jobs/2026/K26-0022.toml": _UNTIDY}
    made = make_book(tmp_path / "book", files)
    monkeypatch.chdir(made)
    return made


@pytest.mark.usefixtures("book")
@pytest.mark.parametrize("word", ["12", "k26-0012", "jobs/2026/K26-0012.toml"])
def test_lint_checks_the_job_that_is_named(run: Run, word: str) -> None:
    status, out, _ = run("lint", word)
    assert (status, out.count("1 file:")) == (1, 1)
    assert "jobs/2026/K26-0012.toml:" in out


def test_tidy_spells_the_job_that_is_named(run: Run, book: Path) -> None:
    path = book / "jobs/2026/K26-0022.toml"
    assert run("tidy", "1") == (0, "", "0 files tidied\n")
    assert run("tidy", "0022").status == 0
    assert path.read_text("utf-8") == _UNTIDY.replace("0.4 ohm", "0.4 Ω")


def test_a_file_goes_before_a_job(run: Run, book: Path) -> None:
    (book / "12").write_text("no job", "utf-8")
    assert run("lint", "12").status == 0


@pytest.mark.usefixtures("book")
@pytest.mark.parametrize("command", ["lint", "tidy"])
@pytest.mark.parametrize(
    ("word", "said"),
    [
        (
            "2",
            (
                '"2" is not a file here, and more than one job id ends so: K26-0012, K26-0022; type more of the id, '
                "or name the file"
            ),
        ),
        (
            "60",
            '"60" is not a file here, and no job id ends so; check the name, or see `jobkit summarise`',
        ),
    ],
    ids=["several jobs", "neither"],
)
def test_what_is_no_one_thing_is_answered_with_both(run: Run, command: str, word: str, said: str) -> None:
    assert run(command, word) == (2, "", f"jobkit: {said}\n")


@pytest.mark.parametrize("command", ["lint", "tidy"])
def test_outside_of_a_book_the_word_is_to_blame(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    monkeypatch.chdir(tmp_path)
    status, out, err = run(command, "nofile")
    assert (status, out) == (2, "")
    assert err == (
        "jobkit: there is no nofile, and no book here to look for a job in; "
        "check the name, or name the folder of a book with --book\n"
    )


def test_a_revision_has_jobs_of_its_own(run: Run, book: Path) -> None:
    GitRepo.make(book).commit()
    (book / JOB_PATH).unlink()
    assert run("lint", "1", "--rev", "HEAD").out.startswith("1 file:")
