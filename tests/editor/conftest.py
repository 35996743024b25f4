"""A book in an editor, in this process: for all that needs no pipe."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from jobkit.cli.call.boards import stays_of, usual_for
from jobkit.cli.call.cache_switch import cache_for
from jobkit.cli.call.shelves import tree_of
from jobkit.editor.outside import Outside
from jobkit.editor.shown.books import Books
from jobkit.editor.shown.open_book import BookInEditor
from jobkit.editor.shown.open_file import OpenFile
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import EXAMPLE

NOW = datetime(2026, 11, 20, 9, 30)

Show = Callable[[str, str], tuple[BookInEditor, OpenFile]]


def outside() -> Outside:
    """What the command would hand to the server, at a moment and by a person that are always the same."""
    return Outside(lambda _settings: NOW, tree_of, cache_for, usual_for, stays_of, lambda _root: "ida")


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The example book, in git."""
    root = tmp_path_factory.mktemp("editor") / "book"
    shutil.copytree(EXAMPLE, root)
    with pytest.MonkeyPatch.context() as patch:
        forget_git_settings(patch)
        GitRepo.make(root).commit("The example")
    return root


@pytest.fixture
def show(example: Path) -> Show:
    """Show a text as a file of the example book, and give both."""
    books = Books(outside())

    def shown(path: str, text: str) -> tuple[BookInEditor, OpenFile]:
        uri = (example / path).as_uri()
        assert books.show(uri, text, 1)
        place = books.at(uri)
        assert place
        return place

    return shown
