"""The Chromium of the system, without a window, driven by playwright; tests are skipped where either is missing."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from jobkit.cli.start.main import main
from tests.books import EXAMPLE

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)


class Seen(NamedTuple):
    """A page that was opened: what the console said, what was fetched beside it, and the page itself."""

    page: Any
    said: list[str]
    fetched: list[str]


Open = Callable[..., Seen]


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    if CHROMIUM is None:
        pytest.skip("there is no Chromium on this machine")
    with api.sync_playwright() as driver:
        started = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield started
        started.close()


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write the site of the example book, once for all tests."""
    folder = tmp_path_factory.mktemp("site")
    assert main(["site", str(folder), "--book", str(EXAMPLE), "--on", "2026-11-20"]) == 0
    return folder


@pytest.fixture
def see(browser: Any) -> Iterator[Open]:
    """Open a file, as wide as told, in light or dark."""
    contexts = []

    def call(file: Path, width: int = 900, *, dark: bool = False) -> Seen:
        context = browser.new_context(
            viewport={"width": width, "height": 800}, color_scheme="dark" if dark else "light"
        )
        contexts.append(context)
        page = context.new_page()
        said: list[str] = []
        fetched: list[str] = []
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda error: said.append(str(error)))
        page.on("request", lambda request: fetched.append(request.url))
        page.goto(file.as_uri())
        return Seen(
            page, said, [one for one in fetched if one != file.as_uri() and not one.startswith("data:")]
        )

    yield call
    for context in contexts:
        context.close()
