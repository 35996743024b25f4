"""Receipt, quote, invoice and credit note of the example, with names, as text, Markdown and HTML: golden files."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.books import EXAMPLE, put
from tests.conftest import Run
from tests.pages.html_reader import ReadPage

PAPERS = {
    "named-intake-61": ("report", "61", "--for", "intake"),
    "named-quote-55": ("report", "55", "--for", "quote"),
    "named-invoice-42": ("bill", "42"),
    "named-credit-note-42": ("bill", "42", "--credit-note", "K26-R-0003"),
}
FORMS = {"text": "txt", "markdown": "md", "html": "html"}
CLIENT = '[client.{}]\nname = "Vala Birk"\naddress = ["3 Mill Lane", "IS-104 Hollin"]\ncountry = "IS"\n'


@pytest.fixture
def named(tmp_path: Path) -> Path:
    """The example with the names of the clients of these papers."""
    root = tmp_path / "book"
    shutil.copytree(EXAMPLE, root)
    clients = "".join(map(CLIENT.format, ("c-007", "c-022", "c-046")))
    put(root / "private/clients.toml", f"format = 1\n{clients}")
    return root


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("name", PAPERS)
def test_paper(run: Run, golden: Callable[[str, str], None], named: Path, *, name: str, form: str) -> None:
    ran = run(*PAPERS[name], "--on", "2026-11-20", "--book", named, "--format", form)
    assert (ran.status, ran.err) == (0, "")
    assert "Vala Birk, 3 Mill Lane, IS-104 Hollin, IS" in ran.out
    golden(f"{name}.{FORMS[form]}", _without_style(ran.out) if form == "html" else ran.out)


def _without_style(page: str) -> str:
    """Leave the head of a page out, which is the style sheet that all pages share."""
    ReadPage(page)  # every element is closed
    return page[page.index("<body>") :]
