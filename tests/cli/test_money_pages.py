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
    assert ran.status == 0
    # The example has no names of clients, and an invoice says that it lacks one.
    lacks_name = "no name for" in ran.err
    assert lacks_name is ran.out.startswith("Invoice ")
    assert len(ran.err.splitlines()) == lacks_name
    assert max(map(len, ran.out.split("\n"))) <= columns
    golden(f"{name}-{columns}.txt", ran.out)


@pytest.mark.parametrize("name", ["bill-44", "stock-donors"])
def test_markdown(run: Run, golden: Callable[[str, str], None], name: str) -> None:
    golden(f"{name}.md", run(*PAGES[name], *ON, "--format", "markdown").out)


def test_json(run: Run, golden: Callable[[str, str], None]) -> None:
    golden("bill-42.json", run("bill", "42", *ON, "--format", "json").out)


def test_a_credit_note(run: Run, golden: Callable[[str, str], None]) -> None:
    words = ("bill", "42", "--credit-note", "K26-R-0003", *ON)
    golden("credit-note-42.txt", run(*words).out)
    golden("credit-note-42.md", run(*words, "--format", "markdown").out)


@pytest.mark.parametrize(
    ("job", "said"),
    [
        ("26", "paid 20.00 EUR on 2026-08-14 (deposit); 29.60 EUR on 2026-08-28 time"),
        (
            "42",
            "credit 10.00 EUR on 2026-10-16 (backplate scratched on our bench), K26-R-0003 invoice K26-R-0002",
        ),
        (
            "44",
            "bill 1.25 × finding and replacing the receiver of input 1, 48.00 EUR; receiver, 18.00 EUR; small",
        ),
        ("41", "charged 80.00 EUR, shipping 22.00 EUR"),
        ("50", "invoice K26-R-0010, on 2026-11-17 owed, with tax 155.00 EUR warranty"),
        ("55", "price quoted 150.00 EUR, at most 180.00 EUR, 30.00 EUR if not repaired time"),
    ],
    ids=["payments", "credit", "lines", "shipping", "owed", "nothing yet"],
)
def test_the_page_of_a_job_says_what_stands_on_its_bill(run: Run, job: str, said: str) -> None:
    assert said in " ".join(run("show", job, *ON).out.split())


def test_what_the_page_of_a_job_says_is_owed_is_what_its_bill_says(run: Run) -> None:
    price = run("show", "50", *ON, "--format", "json").data["price"]
    assert price["owed"] == "155.00 EUR"
    assert f"balance due  {price['owed']}" in run("bill", "50", *ON).out
    assert run("show", "26", *ON, "--format", "json").data["price"]["payments"] == [
        {"on": "2026-08-14", "amount": "20.00 EUR", "note": "deposit"},
        {"on": "2026-08-28", "amount": "29.60 EUR", "note": None},
    ]
