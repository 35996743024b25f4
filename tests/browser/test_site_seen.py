"""The site in a browser, from the disk: its links, its search, and the audit of each sort of page."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.browser.audit import AUDIT
from tests.browser.conftest import Open


@pytest.mark.parametrize("width", [900, 360])
@pytest.mark.parametrize(
    "page",
    [
        "index",
        "search",
        "stock",
        "meters",
        "due",
        "jobs/K26-0047",
        "designs/tarnhow-t7-16",
        "weeks/2026-W43",
        "comebacks",
    ],
)
def test_a_page_is_legible_and_fetches_nothing(see: Open, site: Path, page: str, width: int) -> None:
    seen = see(site / f"{page}.html", width)
    elsewhere = [one for one in seen.fetched if not one.startswith(f"{(site / 'photos').as_uri()}/")]
    assert (seen.page.evaluate(AUDIT), seen.said, elsewhere) == ([], [], [])
    assert seen.page.evaluate("[...document.images].every((one) => one.naturalWidth > 0)")


def test_a_job_is_found_by_words_of_several_columns(see: Open, site: Path) -> None:
    seen = see(site / "search.html")
    rows = seen.page.locator("tbody tr")
    everything = rows.count()
    seen.page.get_by_label("Words to look for").fill("TARNHOW q214")
    found = [rows.nth(at).inner_text() for at in range(everything) if rows.nth(at).is_visible()]
    assert 1 <= len(found) < everything
    assert all("tarnhow" in text and "Q214" in text for text in found)
    seen.page.get_by_label("Words to look for").fill("nothing has this")
    assert not any(rows.nth(at).is_visible() for at in range(everything))
    seen.page.get_by_label("Words to look for").fill("")
    assert seen.page.locator("tbody tr:visible").count() == everything


def test_one_gets_from_the_first_page_to_a_job_and_back(see: Open, site: Path) -> None:
    seen = see(site / "index.html")
    seen.page.get_by_role("link", name="K26-0047").first.click()
    assert "K26-0047" in seen.page.title()
    seen.page.get_by_role("link", name="tarnhow-t7-16").first.click()
    assert seen.page.title() == "tarnhow-t7-16"
    seen.page.get_by_role("link", name="jobs", exact=True).click()
    assert seen.page.title() == "Skerrie Bench"
