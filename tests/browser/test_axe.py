"""Pages under the rules of axe-core, an engine of accessibility checks that was written apart from this project.

It runs all its rules (W3C, Web Content Accessibility Guidelines 2.2, and good practice); our own audit runs beside it.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.books import JOB, JOB_PATH, make_book
from tests.browser.audit import AUDIT
from tests.browser.conftest import Open, Seen
from tests.browser.test_pages_seen import PAGES, drawn
from tests.conftest import Run
from tests.pages.hostile import TEXTS

pytestmark = pytest.mark.slow

MORE = {
    "show, a board under repair": ("show", "62"),
    "load": ("load", "47"),
    "memory": ("memory", "42"),
    "due": ("due",),
    "queue": ("queue", "--hours", "4"),
    "suspects": ("suspects", "61"),
    "earnings": ("earnings",),
    "summarise": ("summarise",),
    "this week": ("week",),
}
SIZES = pytest.mark.parametrize(("width", "dark"), [(900, False), (360, True)], ids=["desk", "phone, dark"])


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


@pytest.mark.parametrize("words", [*PAGES.values(), *MORE.values()], ids=[*PAGES, *MORE])
@SIZES
def test_a_page_breaks_no_rule(
    run: Run, see: Open, axe: Any, tmp_path: Path, words: tuple[str, ...], width: int, *, dark: bool
) -> None:
    page = drawn(run, tmp_path / "page.html", *words)
    seen = see(page, width, dark=dark)
    assert (violations(axe, seen), seen.page.evaluate(AUDIT), seen.said, seen.fetched) == ([], [], [], [])


@SIZES
def test_a_page_of_the_site_breaks_no_rule(
    see: Open, axe: Any, site: Path, width: int, *, dark: bool
) -> None:
    names = ("index", "search", "stock", "meters", "due", "jobs/K26-0062", "designs/tarnhow-t7-16")
    wrong = {
        name: found
        for name in names
        if (found := violations(axe, see(site / f"{name}.html", width, dark=dark)))
    }
    assert not wrong


@pytest.mark.parametrize(
    "text", [TEXTS["right to left"], TEXTS["emoji"], TEXTS["long"]], ids=["rtl", "emoji", "long"]
)
def test_texts_of_other_scripts_break_no_rule(
    run: Run, see: Open, axe: Any, tmp_path: Path, text: str
) -> None:
    job = JOB.replace('"No picture"', f'"{text}"').replace('"No picture since Monday"', f'"{text}"')
    book = make_book(tmp_path / "book", {JOB_PATH: job})
    seen = see(drawn(run, tmp_path / "page.html", "show", "1", book=book), 360)
    assert violations(axe, seen) == []


def test_the_engine_finds_what_is_wrong(see: Open, axe: Any, tmp_path: Path) -> None:
    (tmp_path / "page.html").write_text(
        "<html><body><img src='x.png'><p style='color:#ccc'>pale</p></body></html>", "utf-8"
    )
    found = " ".join(violations(axe, see(tmp_path / "page.html")))
    for rule in ("image-alt", "color-contrast", "html-has-lang", "document-title"):
        assert rule in found
