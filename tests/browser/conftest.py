"""The Chromium of the system, without a window, driven by playwright; tests are skipped where either is missing."""

from __future__ import annotations

import io
import shutil
from collections.abc import Callable, Iterator
from contextlib import redirect_stderr, redirect_stdout
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from jobkit.cli.start.main import main
from tests.books import EXAMPLE

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)


class Seen(NamedTuple):
    """A file that was opened: the page, what the console said, what was fetched beside it, what it asked the reader."""

    page: Any
    said: list[str]
    fetched: list[str]
    asked: list[str]


Open = Callable[..., Seen]
Draw = Callable[..., Path]


class Tab:
    """The one page of the browser: a page of its own for each file took longer than all that is asked of it."""

    def __init__(self, page: Any) -> None:
        self._page = page
        self._seen = Seen(page, [], [], [])
        page.on("console", lambda message: self._seen.said.append(message.text))
        page.on("pageerror", lambda error: self._seen.said.append(str(error)))
        page.on("request", lambda request: self._seen.fetched.append(request.url))
        page.on("dialog", self._dismiss)

    def see(self, file: Path, width: int = 900, *, dark: bool = False) -> Seen:
        """Open a file, as wide as told, in light or dark."""
        self._page.goto("about:blank")  # what the file before still says comes before this
        self._seen = Seen(self._page, [], [], [])
        self._page.set_viewport_size({"width": width, "height": 800})
        self._page.emulate_media(color_scheme="dark" if dark else "light")
        self._page.goto(file.as_uri())
        self._seen.fetched[:] = [
            one for one in self._seen.fetched if one != file.as_uri() and not one.startswith("data:")
        ]
        return self._seen

    def _dismiss(self, dialog: Any) -> None:
        self._seen.asked.append(dialog.message)
        dialog.dismiss()


@pytest.fixture(scope="session")
def tab() -> Iterator[Tab]:
    api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    if CHROMIUM is None:
        pytest.skip("there is no Chromium on this machine")
    with api.sync_playwright() as driver:
        started = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield Tab(started.new_page())
        started.close()


NO_NAMES = "jobkit: no name for c-031 in private/clients.toml; write name and address under [client.c-031]\n"
"""What is said of an invoice of the example, which has no names."""


@pytest.fixture(scope="session")
def draw(tmp_path_factory: pytest.TempPathFactory) -> Draw:
    """Draw the answer of a command as a page; for the same words, the same page."""
    folder = tmp_path_factory.mktemp("pages")

    @cache
    def drawn(*words: str, book: Path = EXAMPLE) -> Path:
        to, said = folder / f"{len(list(folder.iterdir()))}.html", io.StringIO()
        day = () if words[0] in {"heat", "load", "memory"} else ("--on", "2026-11-20")
        with redirect_stdout(said), redirect_stderr(said):
            status = main([*words, *day, "--book", str(book), "--format", "html", "-o", str(to)])
        assert (status, said.getvalue().replace(NO_NAMES, "")) == (0, "")
        return to

    return drawn


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write the site of the example book, once for all tests."""
    folder = tmp_path_factory.mktemp("site")
    assert main(["site", str(folder), "--book", str(EXAMPLE), "--on", "2026-11-20"]) == 0
    return folder


@pytest.fixture
def see(tab: Tab) -> Open:
    """Open a file, as wide as told, in light or dark."""
    return tab.see
