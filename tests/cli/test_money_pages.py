"""The pages of bills, stock and earnings of the example, narrow and wide, against golden files."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.books import EXAMPLE
from tests.conftest import Run

ON = ("--on", "2026-11-20", "--book", EXAMPLE)
PAGES = {
    "bill-26": ("bill", "26"),
    "bill-41": ("bill", "41"),
    "bill-42": ("bill", "42"),
    "bill-44": ("bill", "44"),
    "bill-47-breakdown": ("bill", "47", "--breakdown"),
    "bill-55": ("bill", "55"),
    "stock": ("stock",),
    "stock-reorder": ("stock", "--reorder"),
    "stock-donors": ("stock", "--donors"),
    "earnings-design": ("earnings", "--by", "design"),
    "earnings-work": ("earnings", "--by", "work", "--since", "2026-10-01"),
}


@pytest.mark.parametrize("columns", [80, 200])
@pytest.mark.parametrize(("name", "words"), PAGES.items(), ids=PAGES)
def test_page(
    run: Run,
    golden: Callable[[str, str], None],
    monkeypatch: pytest.MonkeyPatch,
    *,
    name: str,
    words: tuple[str, ...],
    columns: int,
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    ran = run(*words, *ON)
    assert (ran.status, ran.err) == (0, "")
    assert max(map(len, ran.out.split("\n"))) <= columns
    golden(f"{name}-{columns}.txt", ran.out)


@pytest.mark.parametrize("name", ["bill-44", "stock-donors"])
def test_markdown(run: Run, golden: Callable[[str, str], None], name: str) -> None:
    golden(f"{name}.md", run(*PAGES[name], *ON, "--format", "markdown").out)


def test_json(run: Run, golden: Callable[[str, str], None]) -> None:
    golden("bill-42.json", run("bill", "42", *ON, "--format", "json").out)
