"""The earlier stays of a board, of which an editor is told by the store of the book."""

from __future__ import annotations

from pathlib import Path

import pytest

from jobkit.book.shelf.opening import Tree
from jobkit.editor.findings import findings_of
from jobkit.editor.shown.books import Books
from jobkit.editor.shown.open_book import BookInEditor
from jobkit.editor.shown.open_file import OpenFile
from tests.book.repo import GitRepo
from tests.books import JOB_PATH
from tests.conftest import Run
from tests.editor.conftest import outside
from tests.lint.test_heat_stays import COUNTED, LATER, laid, reflow


@pytest.fixture
def stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A book in git with two stays of one board, whose serial number is spelled in two ways."""
    root = laid(tmp_path, reflow(9, 8, 9), reflow(21, 8, 9))
    later = root / LATER
    later.write_text(later.read_text().replace('serial = "S-1"', 'serial = "s 1"'))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    GitRepo.make(root).commit("Two stays")
    return root


def _told(root: Path, unsaved: dict[str, str]) -> list[str]:
    """Say what is found of heatings in the later stay, with unsaved text in the place of some files."""
    books = Books(outside())
    for path, text in {LATER: (root / LATER).read_text(), **unsaved}.items():
        assert books.show((root / path).as_uri(), text, 1)
    book, file = _shown(books, root)
    return [one.finding.message for one in findings_of(file, book) if one.finding.rule == "heat-cycles"]


def _shown(books: Books, root: Path) -> tuple[BookInEditor, OpenFile]:
    place = books.at((root / LATER).as_uri())
    assert place
    return place


def test_the_store_names_the_stays_however_they_are_spelled(
    run: Run, stays: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run("lint", "--book", stays, "--on", "2026-11-20")
    monkeypatch.setattr(Tree, "jobs_containing", _not_asked)
    assert _told(stays, {}) == [COUNTED.format(4)]


@pytest.mark.parametrize(
    ("old", "new", "found"),
    [
        ("T09:00", "T10:00", [COUNTED.format(4)]),
        ('serial = "S-1"', 'serial = "S-2"', []),
        ('part = "U3"', 'part = "U4"', []),
    ],
    ids=["same board", "another board", "another part"],
)
def test_unsaved_text_of_an_earlier_stay_is_what_counts(
    run: Run, stays: Path, old: str, new: str, found: list[str]
) -> None:
    run("lint", "--book", stays, "--on", "2026-11-20")
    earlier = (stays / JOB_PATH).read_text()
    assert old in earlier
    assert _told(stays, {JOB_PATH: earlier.replace(old, new)}) == found


def test_an_earlier_stay_that_was_never_saved_counts(run: Run, stays: Path) -> None:
    text = (stays / JOB_PATH).read_text()
    (stays / JOB_PATH).unlink()
    run("lint", "--book", stays, "--on", "2026-11-20")
    assert _told(stays, {}) == []
    assert _told(stays, {JOB_PATH: text}) == [COUNTED.format(4)]


def test_without_a_store_those_are_found_that_are_spelled_in_the_same_way(stays: Path) -> None:
    assert _told(stays, {}) == []
    later = stays / LATER
    later.write_text(later.read_text().replace('serial = "s 1"', 'serial = "S-1"'))
    assert _told(stays, {}) == [COUNTED.format(4)]


def _not_asked(*_args: object) -> tuple[str, ...]:
    raise AssertionError("the text of the other jobs was gone through")
