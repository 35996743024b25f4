"""The sums of a bill and of its credit notes are the same in text, Markdown, HTML, JSON and UBL, whatever they are."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from html import unescape

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from jobkit.cli.call.invoice_asked import view_of
from jobkit.jobs.bench import Bench
from jobkit.jobs.client import Client
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts, Paid
from jobkit.jobs.money import parse_money
from jobkit.jobs.settings import Settings, Tax
from jobkit.pages.blocks import Answer
from jobkit.pages.client.bill import bill_page
from jobkit.pages.client.credit_note import credit_note_page
from jobkit.pages.client.ubl import as_ubl
from jobkit.pages.forms.answer_forms import drawn
from jobkit.reckon.money.bill import Bill, bill
from jobkit.reckon.money.priced import NOTHING, basis
from jobkit.reckon.money.structured_invoice import (
    Issued,
    as_issued,
    issued_credit_note,
    issued_invoice,
    structured,
)
from jobkit.reckon.money.tax import PRICES as NET_OR_GROSS
from jobkit.reckon.money.tax import ROUNDED
from tests.cli.published_ubl import terms
from tests.reckon.test_priced import PRICES, loaded

ON = date(2026, 11, 20)
CLIENT = Client("c-001", "Vala Birk", ("Quay 3",), "IS")
INVOICE = '\n[invoice]\nnumber = "K26-R-0001"\non = 2026-10-12\n'
NUMBERED = '\n[[price.credit]]\non = 2026-10-15\namount = "1.23 EUR"\nwhy = "late"\nnumber = "K26-R-0002"\n'
DATES = st.sampled_from(["", "finished = 2026-10-09\n", "finished = 2026-10-09\npaid = 2026-10-14\n"])
_AMOUNT = r"\d+\.\d\d EUR|nothing\b[^<\n]*"
_LABELS = (
    r"expected total|total|rounding|to pay|paid above it|paid back|paid|to give back|balance due|credited"
)
_LABEL = rf"{_LABELS}|credit note [^ ]+(?: come)? of \d{{4}}-\d\d-\d\d"
_PAIRS = {
    "text": rf"^({_LABEL})  +(-?(?:{_AMOUNT}))$",
    "markdown": rf"^- ({_LABEL}): (-?(?:{_AMOUNT}))$",
    "html": rf"<dt[^>]*>({_LABEL})</dt><dd[^>]*>(-?(?:{_AMOUNT}))</dd>",
}
"""How each form writes a sum beside its label."""


def bench(prices: str, by: str, step: str) -> Bench:
    """A bench with tax of 24 %, and coins of `step`."""
    tax = Tax("VAT", Decimal(24), prices, by, category_at_zero="Z")
    rounding = parse_money(f"{step} EUR") if step else None
    owner = Settings("Test Bench", currency="EUR", tax=(tax,), cash_rounding=rounding)
    return Bench(owner._replace(address=("12 Quay",), country="IS", tax_number="IS 00417"))


def sums_of(answer: Answer) -> list[tuple[str, str]]:
    """Read the sums with their labels out of text, Markdown and HTML: the same in each."""
    read = [
        re.findall(pattern, unescape(drawn(answer, form, 200, False)), re.MULTILINE)  # noqa: FBT003
        for form, pattern in _PAIRS.items()
    ]
    assert read[0] == read[1] == read[2] != []
    found: list[tuple[str, str]] = read[0]
    return found


@pytest.mark.parametrize("by", ROUNDED)
@pytest.mark.parametrize("prices", NET_OR_GROSS)
@given(
    price=PRICES,
    more=st.sampled_from(["", INVOICE, NUMBERED + INVOICE]),
    dates=DATES,
    step=st.sampled_from(["", "0.05", "1.00"]),
)
def test_the_sums_of_a_bill(prices: str, by: str, price: str, more: str, dates: str, step: str) -> None:
    there = bench(prices, by, step)
    facts = facts_of(loaded(price + more, "repaired", dates))
    assume(basis(facts) != NOTHING)
    # More paid back than paid, then or on the day of the invoice, is refused.
    assume(all(sum(_paid(one.refunds)) <= sum(_paid(one.payments)) for one in (facts, as_issued(facts))))
    made = bill(facts, there)
    view = view_of(there, facts, ON, made, CLIENT)
    answer = bill_page(view)
    data = answer.data() if callable(answer.data) else answer.data
    said = dict(sums_of(answer))
    assert (said.get("total") or said["expected total"]) == data["gross"]
    assert said.get("rounding", "0.00 EUR") == data["rounding"]
    assert said.get("to pay", data["gross"]) == data["to_pay"]
    assert [
        said[f"credit note {one['number'] or 'to come'} of {one['on']}"] for one in data["credit_notes"]
    ] == [one["to_pay"] for one in data["credit_notes"]]
    owed = data["owed"]
    above = said.get("to give back") or said.get("paid above it")
    due = said.get("balance due", f"-{above}")
    assert due == owed or (due.startswith("nothing") and owed == "0.00 EUR")
    for note in made.notes:
        given = credit_note_page(view, note)
        credited = given.data() if callable(given.data) else given.data
        assert dict(sums_of(given))["credited"] == credited["to_pay"] == str(-note.to_pay.amount) + " EUR"
    if facts.invoice_number:
        _check_ubl(there, facts, made)


def _paid(sums: Sequence[Paid]) -> list[Decimal]:
    return [Decimal(one.amount.split()[0]) for one in sums]


def _check_ubl(there: Bench, facts: Facts, made: Bill) -> None:
    """The invoice as data charges what the paper does; each credit note too."""
    then = bill(as_issued(facts), there)
    assert (then.totals, then.rounding) == (made.totals, made.rounding)
    _compare(issued_invoice(then, facts, "2026-10-09", "2026-10-26"), there, facts, made.totals.gross.amount)
    for note in made.notes:
        _compare(issued_credit_note(note, facts, made), there, facts, -note.totals.gross.amount)
        assert issued_credit_note(note, facts, made).to_pay.amount == -note.to_pay.amount


def _compare(issued: Issued, there: Bench, facts: Facts, gross: Decimal) -> None:
    found = terms(as_ubl(structured(issued, facts, there.settings, CLIENT)))
    assert Decimal(found["BT-112"]) == gross
    assert Decimal(found["BT-109"]) + Decimal(found["BT-110"]) == gross
    due = gross - Decimal(found.get("BT-113", "0")) + Decimal(found.get("BT-114", "0"))
    assert Decimal(found["BT-115"]) == due == issued.to_pay.amount
