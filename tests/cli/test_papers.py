"""The bench's own head, foot, colours and logo on a paper; what cannot be used is told of and left out."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.books import EXAMPLE, JOB, JOB_PATH, make_book, put
from tests.conftest import Ran, Run
from tests.drawn_picture import picture
from tests.pages.html_reader import ReadPage

SOUND = {"head.html": b"<p>{{ bench }} &amp; co</p>", "foot.html": b"<p>{{ job }} of {{ date }}</p>"}


def paper(run: Run, tmp_path: Path, parts: dict[str, bytes], name: str = "Test Bench") -> Ran:
    book = make_book(tmp_path / "book", {JOB_PATH: JOB})
    settings = (book / "bench.toml").read_text("utf-8").replace("Test Bench", name)
    put(book / "bench.toml", settings.encode())
    for file, content in parts.items():
        put(book / "papers" / file, content)
    return run("report", "1", "--book", book, "--on", "2026-11-20", "--format", "html")


def test_head_foot_style_and_logo_are_on_the_paper(run: Run, tmp_path: Path) -> None:
    pytest.importorskip("PIL", reason="Pillow is an extra of jobkit")
    parts = {
        **SOUND,
        "head.html": b"{{ logo }}<p>{{ bench }}</p>",
        "style.css": b"h1 { color: teal; }",
        "logo.png": picture(),
    }
    ran = paper(run, tmp_path, parts)
    assert (ran.status, ran.err) == (0, "")
    read = ReadPage(ran.out)
    assert "K26-0001 of 2026-11-20" in read.texts
    assert "h1 { color: teal; }" in read.style
    assert [one["alt"] for one in read.named("img")] == ["Test Bench"]


def test_the_example_has_a_head_of_its_own(run: Run) -> None:
    read = ReadPage(run("bill", "47", "--book", EXAMPLE, "--on", "2026-11-20", "--format", "html").out)
    assert [one for one in read.named("p") if one.get("class") == "bench"]


def test_values_are_escaped(run: Run, tmp_path: Path) -> None:
    ran = paper(run, tmp_path, SOUND, name="<script>alert(1)</script>")
    read = ReadPage(ran.out)
    assert "<script>alert(1)</script> & co" in "".join(read.texts)
    assert not read.named("script")


@pytest.mark.parametrize(
    ("file", "content", "told"),
    [
        (
            "head.html",
            b"{% for x in range(9) %}{% endfor %}",
            "papers/head.html line 1: a for is not allowed here",
        ),
        ("head.html", b"\n{{ bench * 999999999 }}", "papers/head.html line 2: a mul is not allowed here"),
        ("head.html", b"{{ bench.__class__ }}", "a getattr is not allowed here"),
        ("head.html", b"{{ bench|center(999999999) }}", "a filter is not allowed here"),
        ("head.html", b"{% include 'private/clients.toml' %}", "a include is not allowed here"),
        ("head.html", b"{{ client }}", 'there is no value "client"; use bench, job, date, language or logo'),
        ("head.html", b"{{ bench", "papers/head.html line 1"),
        ("head.html", b"\xff\xfe", "is not UTF-8"),
        ("foot.html", b"x" * 200_000, "papers/foot.html is larger than 100 kB"),
        ("style.css", b"h1 {} </style><script>alert(1)</script>", 'papers/style.css holds "<"'),
        ("logo.png", b"<svg/>", "not a JPEG, PNG, WebP or GIF"),
    ],
    ids=[
        "loop",
        "arithmetic",
        "attribute",
        "filter",
        "include",
        "value",
        "syntax",
        "encoding",
        "large",
        "style",
        "logo",
    ],
)
def test_a_part_that_cannot_be_used_is_told_of_and_the_rest_is_drawn(
    run: Run, tmp_path: Path, file: str, content: bytes, told: str
) -> None:
    pytest.importorskip("PIL", reason="Pillow is an extra of jobkit")
    ran = paper(run, tmp_path, {**SOUND, file: content})
    assert ran.status == 0
    assert told in ran.err
    assert "the paper goes without it" in ran.err
    read = ReadPage(ran.out)
    assert not read.named("script")
    assert len(read.named("header")) == (file != "head.html")
    assert len(read.named("footer")) == (file != "foot.html")


def test_a_link_out_of_the_book_is_not_followed(run: Run, tmp_path: Path) -> None:
    put(tmp_path / "secret.html", b"SECRET")
    book = make_book(tmp_path / "book", {JOB_PATH: JOB})
    (book / "papers").mkdir()
    (book / "papers/head.html").symlink_to(tmp_path / "secret.html")
    ran = run("report", "1", "--book", book, "--format", "html")
    assert "SECRET" not in ran.out
    assert "symbolic link" in ran.err
