"""Draw a page as HTML: one file that needs nothing else, runs no script and fetches nothing.

All text goes through the template engine's escaping. The policy in the head names the style sheet by its hash, so a
browser obeys no other style, and no script at all, whatever a file of the book may hold.
"""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache
from hashlib import sha256
from itertools import groupby

from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from markupsafe import Markup, escape

from jobkit.named_tuple import NamedTuple
from jobkit.pages.blocks import Block, Drawing, Page, Photo, Title
from jobkit.pages.forms import charts, curve_charts, pad_chart
from jobkit.pages.forms.picture import Picture
from jobkit.pages.language.language import ENGLISH, Language

_NAMED = re.compile(r"(?<![\w-])[A-Za-z0-9]\w*-[\w-]*\w")
"""What may name another page within a text: an id, a week, most designs."""
_VERDICT = re.compile(r"(in|near|out|pass|passed|fail|failed|error|warning|within|outside)(?=$|  |:|, | \()")

_NAME = re.compile(r"[\w.:-]{1,14}|(?=.{1,22}$)(?:[<>]=? .+|[^,;]+ (?:\.\.|±) [^,;]+)")
"""An id, a day or a limit, which is kept on one line."""
_LONG = 40
"""A longer word is broken rather than let a table grow wider than the page."""


OwnSection = Callable[[str, Markup], str]
"""Draws a section of a paper from its title and what we would draw below it."""


def _no_picture(file: str) -> str:
    return f"{file} is not shown here"


class Around(NamedTuple):
    """What an HTML page has around its blocks.

    `head` and `foot` are HTML of the bench's own, `style` its own style sheet, after ours; `sections` gives what draws
    a section in the bench's own way, None for one that is drawn in ours. `pictures` gives the picture of a photo, or
    says in words why there is none. `links` leads from what is alone in a cell, and from ids of jobs in any text, to
    other pages; `ways` are the links above the page. `pictures_from` is where a browser may get
    pictures from, as a Content-Security-Policy has it: inside the page, unless they are files beside it.
    """

    head: str = ""
    foot: str = ""
    style: str = ""
    sections: Callable[[str], OwnSection | None] = lambda _name: None
    pictures: Callable[[str], Picture | str] = _no_picture
    links: Mapping[str, str] = {}
    ways: Sequence[tuple[str, str]] = ()
    language: Language = ENGLISH
    script: str = ""
    pictures_from: str = "data:"


class _Section(NamedTuple):
    """A heading below the page's own, None for what comes before the first, and its blocks."""

    title: Title | None
    blocks: Sequence[tuple[str, Block | Sequence[Photo]]]


def as_html(page: Page, around: Around) -> str:
    """Draw a page as one HTML document."""
    style = f"\n{style_sheet()}{around.style}\n"
    title = next((block.text for block in page if isinstance(block, Title) and block.level == 1), "jobkit")
    return template("page.html").render(
        title=title,
        sections=_sections(page),
        around=around,
        head=Markup(around.head),  # noqa: S704 - drawn by the sandbox, which escapes
        foot=Markup(around.foot),  # noqa: S704 - as above
        style=Markup(style),  # noqa: S704 - ours, and the bench's, which was looked at for what ends a style
        script=Markup(around.script),  # noqa: S704 - ours alone
        policy=_policy(style, around),
        links=around.links,
        _=around.language.say,
    )  # fmt: skip


def template(name: str) -> Template:
    """Return one of our templates; what is put into it is escaped."""
    return _environment().get_template(name)


@cache
def style_sheet() -> str:
    """Return the style sheet of every page."""
    environment = _environment()
    assert environment.loader is not None
    return environment.loader.get_source(environment, "page.css")[0]


def _policy(style: str, around: Around) -> str:
    """Say what a browser may obey and fetch (W3C, Content Security Policy Level 3): this style and these pictures."""
    parts = ["default-src 'none'", f"style-src '{_hash(style)}'", f"img-src {around.pictures_from}"]
    if around.script:
        parts.append(f"script-src '{_hash(around.script)}'")
    return "; ".join([*parts, "base-uri 'none'", "form-action 'none'"])


def _hash(text: str) -> str:
    return f"sha256-{b64encode(sha256(text.encode()).digest()).decode()}"


def _sections(page: Page) -> list[_Section]:
    """Part a page at its headings; photos that follow each other are shown side by side."""
    sections: list[tuple[Title | None, list[Block]]] = [(None, [])]
    for block in page:
        if isinstance(block, Title):
            if block.level > 1:
                sections.append((block, []))
        else:
            sections[-1][1].append((isinstance(block, Drawing) and block.picture) or block)
    return [_Section(title, _named(blocks)) for title, blocks in sections if title or blocks]


def _named(blocks: Iterable[Block]) -> list[tuple[str, Block | Sequence[Photo]]]:
    """Name each block by its kind, as the template asks for it."""
    named: list[tuple[str, Block | Sequence[Photo]]] = []
    for kind, alike in groupby(blocks, key=type):
        if kind is Photo:
            named.append(("Photos", [block for block in alike if isinstance(block, Photo)]))
        else:
            named += ((kind.__name__, block) for block in alike)
    return named


@cache
def _environment() -> Environment:
    made = Environment(
        loader=PackageLoader("jobkit.pages.forms"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals |= {"charts": charts, "curves": curve_charts, "pads_chart": pad_chart}
    made.filters["linked"] = linked
    made.filters["in_own_way"] = in_own_way
    made.filters["cell_class"] = cell_class
    return made


def in_own_way(content: Markup, title: str, own: OwnSection) -> Markup:
    """Draw a section as the bench does."""
    return Markup(own(title, content))  # noqa: S704 - drawn by the sandbox, which escapes


def linked(text: str, links: Mapping[str, str]) -> Markup:
    """Escape a text, and make links of it: of the whole where it is known, else of the names in it.

    >>> linked("as K26-0001 <b>", {"K26-0001": "a.html"})
    Markup('as <a href="a.html">K26-0001</a> &lt;b&gt;')
    """
    if text in links:
        return _link(links[text], text)
    if not links:
        return escape(text)
    made, at = Markup(), 0
    for found in _NAMED.finditer(text):
        if found[0] in links:
            made += escape(text[at : found.start()]) + _link(links[found[0]], found[0])
            at = found.end()
    return made + escape(text[at:])


def picture_element(picture: Picture, words: str) -> Markup:
    """Return a picture as an element of HTML, with the words for those who do not see it."""
    return Markup('<img src="{}" width="{}" height="{}" alt="{}">').format(*picture, words)


def _link(place: str, text: str) -> Markup:
    return Markup('<a href="{}">{}</a>').format(place, text)


def cell_class(text: str, own: Callable[[str], str] = str) -> str:
    """Return the class of a cell: of the verdict it begins with, of a name to be kept whole, of a word to be broken.

    `own` says words of a verdict in the language of the page.

    >>> cell_class("out   0.2 Ω"), cell_class("K26-0047"), cell_class("x" * 50), cell_class("no core")
    ('out', 'name', 'long', '')
    >>> cell_class("0.25 Ω .. 1.2 Ω"), cell_class(">= 200 Ω"), cell_class("0.36 Ω ± 4.7 mΩ, within the limit")
    ('name', 'name', '')
    """
    found = _VERDICT.match(text)
    if found:
        return _CLASSES[found[1]]
    verdict = next((words for words in _SAID if text.partition(":")[0] == own(words)), "")
    if verdict:
        return _CLASSES[verdict]
    if _NAME.fullmatch(text):
        return "name"
    return "long" if len(text) > _LONG and max(map(len, text.split())) > _LONG else ""


_SAID = ("within", "outside", "passed", "failed")
"""Verdicts that papers in other languages have."""
_CLASSES: Mapping[str, str] = {
    **dict.fromkeys(("in", "pass", "passed", "within"), "in"),
    **dict.fromkeys(("near", "warning"), "near"),
    **dict.fromkeys(("out", "fail", "failed", "error", "outside"), "out"),
}
