"""Each form of an answer read back by a reader of that form; an AssertionError says what got out of the form."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

import cmarkgfm
import icalendar
import jsonschema
from lxml import etree, html
from markdown_it import MarkdownIt

from tests.pages.html_reader import ReadPage
from tests.pages.ics_reader import Component, read
from tests.pages.test_findings import SARIF
from tests.pages.test_markdown import Seen

_TAGS = """
    a abbr b body br button caption circle clippath code col colgroup dd defs desc details div dl dt em figcaption
    figure footer form g h1 h2 h3 h4 head header hr html img input label legend li line link main marker meta nav ol
    option p path pattern polygon polyline pre rect script section select small span strong style sub summary sup svg
    table tbody td text textpath tfoot th thead time title tr tspan ul use
"""
_HTML_TAGS = frozenset(_TAGS.split())
"""Elements that a page may have; what loads or runs something from elsewhere is not among them."""

_COMMAND = re.compile(r"::(error|warning|notice) file=[^:,]*,line=\d+,col=\d+,title=[a-z-]+::[^\r\n]+")
_SIGNED = re.compile(r"[+-][0-9]")
_SCHEME = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:")
_COLOUR = re.compile(r"\x1b\[[0-9;]*m")


def text(answer: str) -> None:
    """A terminal shows every letter, and obeys none but the end of a line."""
    obeyed = {letter for letter in answer if letter != "\n" and not letter.isprintable()}
    assert not obeyed, obeyed


def coloured(answer: str) -> None:
    """A terminal is told colours, and nothing else: ECMA-48, 8.3.117 (SGR)."""
    text(_COLOUR.sub("", answer))


def markdown(answer: str) -> None:
    """Two renderers, written apart, see the blocks of our pages, and no tag, link, picture or code in a line."""
    text(answer)
    plain = MarkdownIt("commonmark").enable(["table", "strikethrough"]).render(answer)
    for rendered in (plain, cmarkgfm.github_flavored_markdown_to_html(answer)):
        seen = Seen()
        seen.feed(rendered)
        seen.close()
        assert {*seen.strangers} <= {"a"}, {*seen.strangers}
        links = re.findall(r'<a href="([^"]*)"', rendered)
        assert all(one.startswith(("http://", "https://", "mailto:")) for one in links), links


def page(answer: str) -> None:
    """Two parsers see whole elements of known names; nothing runs, and nothing is loaded from elsewhere."""
    read_ = ReadPage(answer)
    assert read_.policy()
    seen = {element.tag.lower() for element in html.fromstring(answer).iter() if isinstance(element.tag, str)}
    tags = {tag for tag, _ in read_.tags}
    assert tags | seen <= _HTML_TAGS, (tags | seen) - _HTML_TAGS
    for tag, keys in read_.tags:
        assert not [key for key in keys if key.startswith("on") or key == "style" or "\0" in key], (tag, keys)
        for key in ("href", "src", "action", "xlink:href"):
            assert _is_local(keys.get(key) or ""), (tag, keys[key])


def _is_local(address: str) -> bool:
    is_picture = address.startswith("data:image/") and not address.startswith("data:image/svg")
    return is_picture or not (_SCHEME.match(address) or address.startswith("//"))


def data(answer: str) -> Any:
    """JSON (RFC 8259) without a letter that a terminal or an editor would obey; gives what it holds."""
    text(without_joiners(answer))
    return json.loads(answer)


def without_joiners(answer: str) -> str:
    """Leave out letters that nothing shows, and nothing obeys."""
    return re.sub("[\u200b-\u200f\u061c\u00ad\ufeff\u2060]", "", answer)


def table(answer: str) -> None:
    """Every row has as many cells as the head (RFC 4180), and none begins as a formula does."""
    rows = list(csv.reader(io.StringIO(answer, newline=""), strict=True))
    assert {len(row) for row in rows} == {len(rows[0])}
    assert all(re.fullmatch("[a-z0-9_]+", head) for head in rows[0]), rows[0]
    for cell in (cell for row in rows for cell in row):
        text(cell)
        assert not cell.startswith(("=", "@", "\t", "\r")), cell
        assert not cell.startswith(("+", "-")) or _SIGNED.match(cell), cell


def sarif(answer: str) -> None:
    """The schema of SARIF 2.1.0 is kept to, and every address is a path in the repository."""
    found = data(answer)
    jsonschema.validate(found, SARIF)
    for result in found["runs"][0]["results"]:
        for place in result["locations"]:
            address = place["physicalLocation"]["artifactLocation"]["uri"]
            assert re.fullmatch(r"[A-Za-z0-9_.~/%-]+", address), address
            assert not address.startswith("/"), address


def workflow_commands(answer: str) -> None:
    """Every line is one command that names a finding; the last one is a count."""
    text(answer)
    *lines, last = answer.splitlines()
    strangers = [line for line in lines if not _COMMAND.fullmatch(line)]
    assert not strangers, strangers[:3]
    assert re.fullmatch(r"[0-9].* files?[^:]*: [0-9a-z ,]+", last), last


def calendar(answer: str) -> None:
    """Two readers see a calendar of events with alarms, and nothing that would be fetched or run."""
    whole = read(answer.encode())
    for component in _components(whole):
        assert component.name in {"VCALENDAR", "VEVENT", "VALARM"}, component.name
        assert not {"ATTACH", "ATTENDEE", "ORGANIZER", "URL"} & {
            key.split(";")[0] for key in component.properties
        }
        assert component.properties.get("ACTION", "DISPLAY") == "DISPLAY"
    events = icalendar.Calendar.from_ical(answer).walk("VEVENT")
    assert len(events) == len(whole.inside)


def _components(whole: Component) -> Iterator[Component]:
    yield whole
    for inner in whole.inside:
        yield from _components(inner)


def invoice(answer: str) -> None:
    """XML without a document type, in the namespaces of UBL 2.1 alone."""
    root = etree.fromstring(answer.encode(), etree.XMLParser(resolve_entities=False))
    assert not root.getroottree().docinfo.doctype
    namespaces = {etree.QName(one).namespace.rpartition(":")[2] for one in root.iter()}
    assert namespaces <= {
        "Invoice-2",
        "CreditNote-2",
        "CommonAggregateComponents-2",
        "CommonBasicComponents-2",
    }


def drawing(answer: str) -> None:
    """A picture of shapes and words."""
    root = etree.fromstring(answer.encode())
    names = {etree.QName(one).localname for one in root.iter() if isinstance(one.tag, str)}
    assert names <= {"svg", "title", "desc", "g", "rect", "path", "text", "tspan", "style"}, names
    assert not [key for one in root.iter() for key in one.attrib if key.startswith("on") or "href" in key]


READERS: Mapping[str, Callable[[str], Any]] = {
    "text": text, "markdown": markdown, "html": page, "json": data, "csv": table, "sarif": sarif,
    "github": workflow_commands, "ics": calendar, "ubl": invoice, "svg": drawing,
}  # fmt: skip
"""A reader for each form that an answer can have."""
