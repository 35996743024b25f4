"""Hostile texts through the answers of the editor: nothing in them is markup, an order to a terminal, or a way out."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from lsprotocol.types import (
    CompletionItem,
    DocumentSymbol,
    MarkupContent,
    Position,
    Range,
    TextEdit,
)

from jobkit.editor.complete.completion import completion
from jobkit.editor.findings import diagnostic, findings_of
from jobkit.editor.fix.quick_fixes import fixes
from jobkit.editor.hover.answer import hover
from jobkit.editor.names.places import definitions
from jobkit.editor.shown.books import Books
from jobkit.editor.shown.open_book import BookInEditor
from jobkit.editor.shown.open_file import OpenFile
from jobkit.editor.symbols import symbols
from jobkit.editor.verdicts import verdicts
from tests.book.repo import GitRepo, forget_git_settings
from tests.editor.conftest import outside
from tests.editor.marked import edited
from tests.form_readers import markdown, text
from tests.hostile import hostile_book
from tests.long_run import LONG

WHOLE = Range(Position(0, 0), Position(99999, 0))
RULE_PAGE = re.compile(r"/jobkit/rule-[a-z-]+\.md")
BOLD = re.compile(r"\*\*")


@pytest.fixture(scope="module", params=[0, 11] if LONG else [0])
def book(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book in git with a hostile text in every free text and name."""
    root = hostile_book(tmp_path_factory.mktemp("hostile") / "book", request.param)
    with pytest.MonkeyPatch.context() as patch:
        forget_git_settings(patch)
        GitRepo.make(root).commit("Strange")
    return root


def shown(root: Path) -> Iterator[tuple[BookInEditor, OpenFile, list[Position]]]:
    """Show the bench's own files, the board files and some jobs; give each with places in what no other file had."""
    books, seen = Books(outside()), set[tuple[str, ...]]()
    for path in [*root.glob("*.toml"), *root.glob("boards/*.toml"), *sorted(root.glob("jobs/*/*.toml"))[-5:]]:
        uri = path.as_uri()
        if books.show(uri, path.read_text("utf-8"), 1):
            place = books.at(uri)
            assert place
            yield *place, list(places(place[1], seen))


def places(file: OpenFile, seen: set[tuple[str, ...]]) -> Iterator[Position]:
    """Yield a position in a value of each sort that was not seen yet."""
    for path, span in file.text.outline.spans.items():
        sort = (file.kind, *(part for part in path if isinstance(part, str)))
        if sort not in seen:
            seen.add(sort)
            yield file.text.position(span.start + 1)


def test_hover_shows_each_text_as_it_was_typed(book: Path) -> None:
    told = 0
    for opened, file, positions in shown(book):
        for position in positions:
            said = hover(file, opened, position)
            if said:
                assert isinstance(said.contents, MarkupContent)
                markdown(BOLD.sub("", said.contents.value))
                told += 1
    assert told > 50


def test_what_stands_in_one_line_is_one_line_of_letters(book: Path) -> None:
    lines = 0
    for opened, file, _ in shown(book):
        found = findings_of(file, opened)
        hints = verdicts(file, opened, WHOLE) or []
        for line in (
            *(diagnostic(one).message.replace("\n", " ", 1) for one in found),
            *(str(one.label) for one in hints),
            *(one.title for one in fixes(file, opened, found, WHOLE)),
            *outlined(symbols(file)),
        ):
            text(line)
            assert "\n" not in line, line
            lines += 1
    assert lines > 300


def outlined(found: list[DocumentSymbol]) -> Iterator[str]:
    for one in found:
        yield one.name
        yield one.detail or ""
        yield from outlined([*(one.children or ())])


def test_what_is_offered_is_shown_as_letters_and_typed_as_one_value(book: Path) -> None:
    values = typed = 0
    for opened, file, positions in shown(book):
        escaped: list[TextEdit] = []
        for position in positions:
            offered = completion(file, opened, position, snippets=False)
            for one in offered.items if offered else ():
                for line in (one.label, one.detail or "", described(one)):
                    text(line)
                    assert "\n" not in line, line
                values += 1
                edit = one.text_edit
                if isinstance(edit, TextEdit) and "\\" in edit.new_text and is_in_quotes(edit, file):
                    escaped.append(edit)
        for edit in escaped[:: max(1, len(escaped) // 4)]:
            tomllib.loads(edited(file.text.text, edit))
            typed += 1
    assert values > 500
    assert typed > 10


def is_in_quotes(edit: TextEdit, file: OpenFile) -> bool:
    """Tell whether a text is offered within quotation marks that are there, on one line."""
    start = file.text.offset(edit.range.start)
    return re.match(r'[^"]"(?!"")', file.text.text[start - 2 : start + 2]) is not None


def described(item: CompletionItem) -> str:
    return (item.label_details and item.label_details.description) or ""


def test_no_place_is_outside_the_book(book: Path) -> None:
    found = 0
    for opened, file, positions in shown(book):
        for position in positions:
            for place in definitions(file, opened, position):
                assert place.uri.startswith(f"{book.as_uri()}/") or RULE_PAGE.search(place.uri), place.uri
                found += 1
    assert found > 10
