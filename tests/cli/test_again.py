"""Readings taken again: written as one, shown with their mean, refused where they have none."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.books import JOB_PATH, make_book
from tests.conftest import Run


def test_read_writes_them_as_one_reading(run: Run, tmp_path: Path) -> None:
    book = make_book(tmp_path / "book")
    ran = run("read", "vmem", "23.4", "--again", "23.6", "--again", "23,5", "--job", "1", "--book", book)
    assert ran.status == 0, ran.err
    assert "VMEM 23.5 Ω (mean of 3)" in ran.out
    text = (book / JOB_PATH).read_text("utf-8")
    assert 'value = "23.4 Ω"' in text
    assert 'again = ["23.6 Ω", "23.5 Ω"]' in text
    shown = " ".join(run("show", "1", "--book", book).out.split())
    assert "mean of 23.4 Ω, 23.6 Ω, 23.5 Ω" in shown


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("vmem", "23.4", "vmem", "23.5", "--again", "23.6"), "--again takes the readings of one point"),
        (("vmem", "23.4", "--again", "ol"), "an open reading has no mean with others"),
        (("vmem", "23.4", "--again", "1.2V"), "has a unit of voltage"),
    ],
)
def test_what_has_no_mean_is_refused_and_nothing_is_written(
    run: Run, tmp_path: Path, words: tuple[str, ...], message: str
) -> None:
    book = make_book(tmp_path / "book")
    before = (book / JOB_PATH).read_bytes()
    ran = run("read", *words, "--job", "1", "--book", book)
    assert ran.status == 2
    assert message in ran.err
    assert (book / JOB_PATH).read_bytes() == before


def test_verdict_takes_them_too(run: Run) -> None:
    ran = run("verdict", "23.4 Ω", "10 .. 60 Ω", "--again", "23.6 Ω")
    assert "23.5 Ω, the mean of 2 readings" in ran.out
    refused = run("verdict", "23.4 Ω", ">= 10 Ω", "--again", "OL")
    assert (refused.status, "an open reading has no mean" in refused.err) == (2, True)
