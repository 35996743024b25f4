"""Pages under the rules of axe-core, an engine of accessibility checks that was written apart from this project.

It runs all its rules (W3C, Web Content Accessibility Guidelines 2.2, and good practice).
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.books import JOB, JOB_PATH, make_book
from tests.browser.conftest import Draw, Open, Seen
from tests.browser.test_pages_seen import LOOKS, PAGES
from tests.long_run import share
from tests.pages.hostile import TEXTS

pytestmark = pytest.mark.slow

SEEN = {
    f"{look}-{page}": (PAGES[page], *LOOKS[look])
    for at, page in enumerate(PAGES)
    for look in share([*LOOKS], 2, at)
}
"""In the usual run a page has one of the two looks; our own audit sees both of all."""


@pytest.fixture(scope="session")
def axe() -> Any:
    engine = pytest.importorskip(
        "axe_playwright_python.sync_playwright", reason="axe-core is not installed (extra test)"
    )
    return engine.Axe()


def violations(axe: Any, seen: Seen) -> list[str]:
    """Name the rules that a page breaks, each with the first element that breaks it."""
    found = axe.run(seen.page).response["violations"]
    return [f"{one['id']}: {one['nodes'][0]['html'][:120]}" for one in found]


@pytest.mark.parametrize(("words", "width", "dark"), SEEN.values(), ids=SEEN)
def test_a_page_breaks_no_rule(
    see: Open, draw: Draw, axe: Any, words: tuple[str, ...], width: int, *, dark: bool
) -> None:
    seen = see(draw(*words), width, dark=dark)
    assert (violations(axe, seen), seen.said, seen.fetched) == ([], [], [])


@pytest.mark.parametrize("at", [0, 1], ids=LOOKS)
def test_a_page_of_the_site_breaks_no_rule(see: Open, axe: Any, site: Path, at: int) -> None:
    width, dark = [*LOOKS.values()][at]
    names = ("index", "search", "stock", "meters", "due", "jobs/K26-0062", "designs/tarnhow-t7-16")
    wrong = {
        name: found
        for name in share(names, 2, at)
        if (found := violations(axe, see(site / f"{name}.html", width, dark=dark)))
    }
    assert not wrong


@pytest.mark.parametrize(
    "text", [TEXTS["right to left"], TEXTS["emoji"], TEXTS["long"]], ids=["rtl", "emoji", "long"]
)
def test_texts_of_other_scripts_break_no_rule(
    see: Open, draw: Draw, axe: Any, tmp_path: Path, text: str
) -> None:
    job = JOB.replace('"No picture"', f'"{text}"').replace('"No picture since Monday"', f'"{text}"')
    book = make_book(tmp_path / "book", {JOB_PATH: job})
    seen = see(draw("show", "1", book=book), 360)
    assert violations(axe, seen) == []


def test_the_engine_finds_what_is_wrong(see: Open, axe: Any, tmp_path: Path) -> None:
    (tmp_path / "page.html").write_text(
        "<html><body><img src='x.png'><p style='color:#ccc'>pale</p></body></html>", "utf-8"
    )
    found = " ".join(violations(axe, see(tmp_path / "page.html")))
    for rule in ("image-alt", "color-contrast", "html-has-lang", "document-title"):
        assert rule in found
