"""The bench's own head, foot, colours and logo on a paper; what cannot be used is told of and left out."""

from __future__ import annotations

from pathlib import Path

import pytest

from jobkit.pages.client.sections import ALWAYS_WHOLE, EVERY, NAMES
from tests.books import EXAMPLE, JOB, JOB_PATH, make_book, put
from tests.conftest import Ran, Run
from tests.drawn_picture import picture
from tests.pages.html_reader import ReadPage

PRICED = """
[[price.payment]]
on = 2026-10-10
amount = "20.00 EUR"
"""
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
        (
            "warranty.html",
            b"<h2>None</h2>",
            "papers/warranty.html leaves out {{ content }}, which this part has to show",
        ),
        (
            "cautions.html",
            b"{% if logo %}{{ content }}{% endif %}",
            "papers/cautions.html leaves out {{ content }}",
        ),
        ("work.html", b"\n\n{{ content.upper() }}", "papers/work.html line 3: a call is not allowed here"),
        ("work.html", b"{{ content }}" * 21, "papers/work.html uses content more than 20 times"),
        ("came.html", b"{{ client }}", "use bench, job, date, language, logo, title or content"),
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
        "warranty left out",
        "cautions only sometimes",
        "call in a section",
        "too often",
        "value in a section",
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
    is_section = file.split(".", maxsplit=1)[0] in EVERY
    assert ("this part is drawn as without it" if is_section else "the paper goes without it") in ran.err
    read = ReadPage(ran.out)
    assert [text for text in read.texts if text in NAMES] == [
        text for text in ReadPage(paper(run, tmp_path / "plain", SOUND).out).texts if text in NAMES
    ]
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


def test_a_section_has_the_bench_s_own_words_and_layout_and_the_others_are_as_they_were(
    run: Run, tmp_path: Path
) -> None:
    own = b'<h2 class="ours">Work done at {{ bench }} ({{ title }})</h2><div class="ours">{{ content }}</div>'
    plain = paper(run, tmp_path / "plain", {})
    ran = paper(run, tmp_path / "own", {"work.html": own, "came.html": b"<h2>It came</h2>"})
    assert (ran.status, ran.err) == (0, "")
    before, after = ReadPage(plain.out), ReadPage(ran.out)
    assert "Work done at Test Bench (What we did)" in after.texts
    assert [one for one in after.named("div") if one.get("class") == "ours"]
    assert "What came" in before.texts
    assert "What came" not in after.texts
    assert "It came" in after.texts
    gone = [text for text in before.texts if text.strip() and text not in after.texts and "{" not in text]
    assert gone[0] == "What came"
    assert "What we did" in gone
    assert all(text in "".join(after.texts) for text in before.texts if text.startswith("took off"))


@pytest.mark.parametrize("name", ["top", "lines", "payments", "balance", "notes"])
def test_words_are_added_to_each_section_of_a_bill(run: Run, tmp_path: Path, name: str) -> None:
    book = make_book(tmp_path / "book", {JOB_PATH: f"{JOB}{PRICED}"})
    asked = ("bill", "1", "--book", book, "--on", "2026-11-20")
    plain, text = run(*asked, "--format", "html"), run(*asked)
    put(book / f"papers/{name}.html", b"{{ title }}<p>OUR WORDS</p>{{ content }}")
    ran = run(*asked, "--format", "html")
    assert ran.status == 0
    before, after = ReadPage(plain.out).texts, ReadPage(ran.out).texts
    assert "OUR WORDS" in after
    assert [one for one in after if one.strip() and one != "OUR WORDS"] == [
        one for one in before if one.strip()
    ]
    assert run(*asked).out == text.out


def test_a_title_and_a_content_are_escaped_once(run: Run, tmp_path: Path) -> None:
    ran = paper(
        run,
        tmp_path,
        {"work.html": b"<h2>{{ title }}</h2>{{ content }}", "head.html": b"<p>{{ bench }}</p>"},
        "<i>&",
    )
    read = ReadPage(ran.out)
    assert "<i>&" in read.texts
    assert not read.named("i")
    assert "&lt;" not in "".join(read.texts)


def test_a_file_that_is_not_a_part_of_a_paper_is_named(run: Run, tmp_path: Path) -> None:
    ran = paper(run, tmp_path, {"waranty.html": b"<p>x</p>"})
    assert ran.status == 0
    assert ran.err.startswith(
        "jobkit: papers/waranty.html is not a part of a paper; parts are agree, balance, came,"
    )


def test_each_section_of_the_papers_has_a_name(run: Run) -> None:
    shown: set[str] = set()
    for words in (
        ("47",),
        ("49",),
        ("61", "--for", "intake"),
        ("55", "--for", "quote"),
        ("42", "--for", "quote"),
    ):
        ran = run("report", *words, "--book", EXAMPLE, "--on", "2026-11-20", "--format", "html")
        read = ReadPage(ran.out)
        headings = len(read.named("h2")) + len(read.named("h3"))
        named = [NAMES[text] for text in read.texts if text in NAMES]
        assert len(named) == headings
        shown |= {*named}
    assert shown == {*NAMES.values()} - {"corrections", "messages"}
    assert EVERY >= ALWAYS_WHOLE
