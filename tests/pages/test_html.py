"""Pages as HTML: whatever the book holds is text, and a browser may obey nothing but our own style sheet."""

from __future__ import annotations

from base64 import b64encode
from hashlib import sha256

import pytest

from jobkit.pages.blocks import (
    BarRow,
    Bars,
    Block,
    BoardMap,
    Curve,
    Curves,
    CurveStep,
    Drawing,
    Level,
    Line,
    Mark,
    Package,
    PadMap,
    PadMark,
    Pairs,
    Photo,
    StepCurve,
    Strip,
    Strips,
    Table,
    Ticks,
    Title,
)
from jobkit.pages.forms.html import Around, as_html
from jobkit.pages.forms.markdown import as_markdown
from jobkit.pages.forms.picture import Picture
from tests.pages.hostile import TEXTS
from tests.pages.html_reader import ReadPage

PICTURES = (Photo, Strips, Curves, StepCurve, BoardMap, PadMap)
EVENTS = ("onerror", "onmouseover", "onload", "onclick", "style", "src", "href")


def page_of(text: str) -> list[Block]:
    """Put a text into every place of every block that takes one."""
    packages = [Package(text, text, text)]
    levels = [Level(3.0, text), Level(1.5, text, None)]
    pads = [PadMark(1, 2, text, text, text, shape) for shape in ("square", "disc", "diamond")]
    return [
        Title(text, 1),
        Title(text),
        Line(text),
        Pairs([(text, text)]),
        Table((text, "b", "c", "d"), [(text, text, "", "")], right=(text,)),
        Ticks([(True, text), (False, text)]),
        Drawing([text]),
        Photo(text, text),
        Strips(
            text,
            [text],
            [Strip(text, [Mark(text, 1.0, 0.1, text)], (0.5, text), (2.0, text), (0.8, 1.2, text))],
        ),
        Curves(
            text,
            [
                Curve(
                    text,
                    text,
                    lambda: [(0.0, 1.0), (600.0, 2.0)],
                    levels,
                    [(0.0, 60.0)],
                )
            ],
        ),
        StepCurve(text, text, [CurveStep(30, 0.9, (0.8, 0.95)), CurveStep(60, 0.0)], [10, 50], 90),
        Bars(text, text, [BarRow(text, [(text, 2.0), (text, None)], text)]),
        BoardMap(text, Package(text, text), packages, packages, packages, packages, packages),
        PadMap(text, [text, "B"], 3, pads),
        Drawing(["characters"], PadMap(text, ["A"], 2, [])),
    ]


@pytest.mark.parametrize("text", TEXTS.values(), ids=TEXTS)
def test_a_text_is_shown_as_it_is_and_never_obeyed(text: str) -> None:
    clean, read = ReadPage(as_html(page_of("plain"), Around())), ReadPage(as_html(page_of(text), Around()))
    assert [tag for tag, _ in read.tags] == [tag for tag, _ in clean.tags]
    shown = "".join(read.texts)
    assert shown.count(text) >= 20
    assert not {name for _, attributes in read.tags for name in attributes} & set(EVENTS)


def test_the_policy_names_the_one_style_sheet_and_allows_no_script() -> None:
    read = ReadPage(as_html(page_of("plain"), Around(style="h1 { color: teal; }")))
    digest = b64encode(sha256(read.style.encode()).digest()).decode()
    assert read.policy() == (
        f"default-src 'none'; style-src 'sha256-{digest}'; img-src data:; base-uri 'none'; form-action 'none'"
    )
    assert read.style.rstrip().endswith("h1 { color: teal; }")
    assert not read.named("script")
    assert not read.named("link")


def test_photos_are_shown_or_said_to_be_missing() -> None:
    pictures: dict[str, Picture | str] = {
        "a.jpg": Picture("data:image/jpeg;base64,AA==", 4, 3),
        "b.jpg": "b.jpg is not shown: x",
    }
    page: list[Block] = [Title("t", 1), Photo("a.jpg", 'a "quoted" one'), Photo("b.jpg", "")]
    read = ReadPage(as_html(page, Around(pictures=pictures.__getitem__)))
    assert read.named("img") == [
        {"src": "data:image/jpeg;base64,AA==", "width": "4", "height": "3", "alt": 'a "quoted" one'}
    ]
    assert "b.jpg is not shown: x" in read.texts


def test_only_forms_that_can_show_pictures_do() -> None:
    assert (
        as_markdown([Title("t", 1), *(block for block in page_of("plain") if isinstance(block, PICTURES))])
        == "# t\n"
    )


def test_ids_become_links_only_where_a_page_is_known() -> None:
    page: list[Block] = [
        Title("t", 1),
        Line("K26-0001 and K26-0002, XK26-0001"),
        Table(("design",), [("alder-a1",), ("alder-a1 b",)]),
    ]
    read = ReadPage(as_html(page, Around(links={"K26-0001": "jobs/1.html", "alder-a1": "designs/a.html"})))
    assert [one["href"] for one in read.named("a")] == ["jobs/1.html", "designs/a.html", "designs/a.html"]


def test_a_verdict_is_told_by_its_word_and_only_then_by_its_class() -> None:
    rows = [("in    0.2 Ω",), ("out   3 Ω",), ("in bench 2",), ("near",), ("within",), ("outside: hot",)]
    read = ReadPage(as_html([Title("t", 1), Table(("verdict",), rows)], Around()))
    classes = [(one["class"] or "").strip() for one in read.named("td")]
    assert classes == ["in", "out", "", "near", "in", "out"]


def test_every_drawing_has_a_title_and_says_its_values_in_words() -> None:
    strip = Strip("VMEM", [Mark("as it came", 0.4, 0.1, "0.4 Ω")], (10.0, "10 Ω"), (60.0, "60 Ω"))
    text = "".join(
        ReadPage(as_html([Title("t", 1), Strips("about", ["as it came"], [strip])], Around())).texts
    )
    assert "as it came: 0.4 Ω. Lower limit 10 Ω. Upper limit 60 Ω." in " ".join(text.split())


def test_the_picture_of_a_drawing_is_shown_where_it_can_be_and_the_characters_elsewhere() -> None:
    page: list[Block] = [Title("t", 1), Drawing(["A B"], PadMap("the pads", ["A"], 2, []))]
    read = ReadPage(as_html(page, Around()))
    assert ("the pads" in read.texts, "A B" in read.texts, len(read.named("pre"))) == (True, False, 0)
    assert "A B" in as_markdown(page)


def test_a_wide_table_keeps_its_roles_where_a_phone_lays_it_out_as_blocks() -> None:
    read = ReadPage(as_html([Title("t", 1), Table(tuple("abcd"), [tuple("1234")])], Around()))
    roles = [attributes["role"] for tag, attributes in read.tags if "role" in attributes]
    assert roles == ["table", "rowgroup", "row", *["columnheader"] * 4, "rowgroup", "row", *["cell"] * 4]
