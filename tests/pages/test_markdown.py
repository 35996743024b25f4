"""Markdown as two renderers see it that were written apart: every text is shown as it was typed.

markdown-it-py follows CommonMark, with tables and struck text; cmarkgfm is the renderer of GitHub Flavored Markdown.
"""

from __future__ import annotations

from collections.abc import Callable
from html.parser import HTMLParser

import cmarkgfm
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from jobkit.pages.blocks import Drawing, Line, Page, Pairs, Table, Ticks, Title
from jobkit.pages.forms.markdown import as_markdown

RENDERERS: dict[str, Callable[[str], str]] = {
    "CommonMark": MarkdownIt("commonmark").enable(["table", "strikethrough"]).render,
    "GitHub": cmarkgfm.github_flavored_markdown_to_html,
}
_BLOCKS = frozenset(("h1", "h2", "h3", "p", "li", "th", "td", "pre"))
_AROUND = frozenset(("ul", "table", "thead", "tbody", "tr", "code", "input"))


class Seen(HTMLParser):
    """Collect the blocks of a page with their text, and each tag that our pages never mean."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.blocks: list[tuple[str, str]] = []
        self.strangers: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        del attrs
        if tag in _BLOCKS:
            self.blocks.append((tag, ""))
        elif tag not in _AROUND:
            self.strangers.append(tag)

    def handle_data(self, data: str) -> None:
        if self.blocks:
            tag, text = self.blocks[-1]
            self.blocks[-1] = (tag, text + data)


def seen(renderer: str, page: Page) -> list[tuple[str, str]]:
    """Give the blocks that a renderer makes of a page, each with its text; blanks count once, as on a screen."""
    reader = Seen()
    reader.feed(RENDERERS[renderer](as_markdown(page)))
    reader.close()
    assert [
        tag for tag in reader.strangers if tag != "a"
    ] == []  # GitHub makes links of addresses; the text stays
    return [(tag, " ".join(text.split())) for tag, text in reader.blocks]


_PIECES = (
    *(
        "1. Fan",
        "1) x",
        "10.",
        "## x",
        "#",
        "x ##",
        "---",
        "- x",
        "+ x",
        "* x",
        "===",
        "~~x~~",
        "~x~",
        "~~~",
        "-",
        "--",
    ),
    *(
        "&lt;",
        "&#65;",
        "R&D",
        "<b>",
        "<!--",
        "|",
        "\\",
        "\\|",
        "`x`",
        "```",
        "[x]",
        "[x](y)",
        "![x]",
        "[^1]",
        "*x*",
    ),
    *(
        "_x_",
        "__x__",
        "snake_case",
        ">",
        "> x",
        "$5",
        "a",
        "Ω",
        "5 V",
        " ",
        "  ",
        "\n",
        "    x",
        "x  ",
        ":--",
        ":-:",
    ),
    *(
        "http://example.org/a_b",
        "www.example.org/*a*_",
        "ftp://x.org/~a",
        "a_b@example.org",
        "<a@example.org>",
        "!",
        "(",
        ")",
    ),
)
texts = st.one_of(
    st.lists(st.sampled_from(_PIECES), min_size=1, max_size=5).map("".join),
    st.lists(st.sampled_from(_PIECES), min_size=1, max_size=4).map(" ".join),
    st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1),
).filter(lambda text: text.strip())


def shown(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("renderer", RENDERERS)
@given(texts, texts)
@example("1. Fan", "&lt;")
@example("## x", "---")
@example("~~x~~", "x\\")
@example("a ##", "- [x] y")
@example("http://example.org/a_b", "WWW.example.org/a*b*")
def test_every_text_is_shown_as_it_was_typed(renderer: str, one: str, other: str) -> None:
    page: Page = (
        Title(one, 2),
        Line(other),
        Line(one),
        Table((one, other), [(other, one), (one, other)], right=(other,)),
        Pairs([(one, other), (other, one)]),
        Line("and"),
        Ticks([(True, one), (False, other)]),
    )
    told = [("h2", one), ("p", other), ("p", one)]
    told += [("th", one), ("th", other), ("td", other), ("td", one), ("td", one), ("td", other)]
    told += [("li", f"{shown(one)}: {other}"), ("li", f"{shown(other)}: {one}"), ("p", "and")]
    # GitHub draws the boxes; CommonMark knows none.
    boxes = ("", "") if renderer == "GitHub" else ("[x] ", "[ ] ")
    told += [("li", f"{boxes[0]}{one}"), ("li", f"{boxes[1]}{other}")]
    assert seen(renderer, page) == [(tag, shown(text)) for tag, text in told]


@pytest.mark.parametrize("renderer", RENDERERS)
@given(st.lists(texts.map(shown), min_size=1, max_size=4))
def test_a_drawing_keeps_its_lines(renderer: str, lines: list[str]) -> None:
    reader = Seen()
    reader.feed(RENDERERS[renderer](as_markdown((Drawing(lines), Line("after")))))
    assert [text.strip("\n") for _, text in reader.blocks] == ["\n".join(lines), "after"]
