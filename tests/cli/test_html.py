"""`--format html`: every page for people has it; photos that cannot be shown are told of in their place."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.books import EXAMPLE, JOB, JOB_PATH, make_book, put
from tests.conftest import Run
from tests.pages.html_reader import ReadPage

ON = ("--on", "2026-11-20", "--book", EXAMPLE, "--format", "html")
COMMANDS = (
    ("report", "47"), ("bill", "47"), ("show", "47"), ("show", "--design", "tarnhow-t7-16"), ("week",), ("queue",),
    ("due",), ("usual", "pellow-c2"), ("summarise",), ("warranty", "35"), ("comebacks",), ("earnings",),
    ("suspects", "61"), ("report", "61", "--for", "intake"), ("report", "55", "--for", "quote"),
)  # fmt: skip


@pytest.mark.parametrize("words", COMMANDS, ids=[" ".join(words) for words in COMMANDS])
def test_a_page_has_a_heading_and_the_policy(run: Run, words: tuple[str, ...]) -> None:
    ran = run(*words, *ON)
    lacks_name = words[0] == "bill"  # an invoice says that the example has no names of clients
    assert (ran.status, "no name for c-031" in ran.err, bool(ran.err)) == (0, lacks_name, lacks_name)
    read = ReadPage(ran.out)
    assert len(read.named("h1")) == 1
    assert "default-src 'none'" in read.policy()


def test_the_same_report_has_the_same_bytes(run: Run) -> None:
    assert run("report", "47", *ON).out == run("report", "47", *ON).out


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (None, "a.jpg is not shown: there is no jobs/2026/K26-0001/a.jpg"),
        (
            b"<svg xmlns='http://www.w3.org/2000/svg'/>",
            "it is not a JPEG, PNG, WebP or GIF picture; save it as JPEG",
        ),
        (b"\xff\xd8\xff\xe0", "it is not a JPEG"),
        (b"\0" * 50_000_000, "larger than 16 MB"),
    ],
    ids=["missing", "SVG", "broken", "50 MB"],
)
def test_a_photo_that_cannot_be_shown_is_told_of(
    run: Run, tmp_path: Path, content: bytes | None, told: str
) -> None:
    book = make_book(tmp_path / "book", {JOB_PATH: f'{JOB}\n[[seen]]\ncheck = "eye"\nphotos = ["a.jpg"]\n'})
    if content is not None:
        put(book / JOB_PATH.removesuffix(".toml") / "a.jpg", content)
    ran = run("report", "1", "--book", book, "--format", "html")
    assert ran.status == 0, ran.err
    read = ReadPage(ran.out)
    assert not read.named("img")
    assert [text for text in read.texts if told in text], [text for text in read.texts if "a.jpg" in text]
