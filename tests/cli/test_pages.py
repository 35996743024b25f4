"""Pages of the example book against golden files; `pytest --renew-golden` renews them, then read the difference."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.books import EXAMPLE
from tests.conftest import Run

PAGES = {
    "week.txt": ("week", "2026-W43"),
    "week.md": ("week", "2026-W43", "--format", "markdown"),
    "week.json": ("week", "2026-W43", "--format", "json"),
    "show-47.txt": ("show", "47"),
    "show-47.md": ("show", "47", "--format", "markdown"),
    "queue.txt": ("queue",),
    "queue.md": ("queue", "--format", "markdown"),
    "queue.json": ("queue", "--format", "json"),
    "queue.csv": ("queue", "--format", "csv"),
    "design.txt": ("show", "--design", "tarnhow-t7-16"),
    "design.md": ("show", "--design", "tarnhow-t7-16", "--format", "markdown"),
    "design.json": ("show", "--design", "tarnhow-t7-16", "--format", "json"),
    "show-47.json": ("show", "47", "--format", "json"),
    "show-41.txt": ("show", "41"),
    "show-52.txt": ("show", "52"),
    "show-28.txt": ("show", "28"),
    "show-34.txt": ("show", "34"),
    "suspects-61.txt": ("suspects", "61"),
    "suspects-61-why.txt": ("suspects", "61", "--why", "rail VMEM2"),
    "suspects-62.md": ("suspects", "62", "--format", "markdown"),
    "suspects-59.txt": ("suspects", "59"),
    "suspects-55.json": ("suspects", "55", "--format", "json"),
    "suspects-design.txt": ("suspects", "--design", "tarnhow-t7-16"),
    "usual.txt": ("usual", "tarnhow-t7-16"),
    "usual.md": ("usual", "tarnhow-t7-16", "--format", "markdown"),
    "usual.json": ("usual", "pellow-c2", "--format", "json"),
    "usual-vcore.txt": ("usual", "tarnhow-t7-16", "--point", "VCORE", "--drop-outliers"),
}


@pytest.mark.parametrize(("name", "words"), PAGES.items(), ids=PAGES)
def test_page(run: Run, golden: Callable[[str, str], None], name: str, words: tuple[str, ...]) -> None:
    ran = run(*words, "--on", "2026-11-20", "--book", EXAMPLE)
    assert (ran.status, ran.err) == (0, "")
    golden(name, ran.out)


@pytest.mark.parametrize("columns", [80, 100, 200])
def test_no_line_is_wider_than_the_terminal(run: Run, monkeypatch: pytest.MonkeyPatch, columns: int) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    for words in (("week", "2026-W43"), ("show", "47"), ("show", "--design", "tarnhow-t7-16")):
        page = run(*words, "--on", "2026-11-20", "--book", EXAMPLE).out
        assert max(map(len, page.split("\n"))) <= columns
