"""What is left to pay: the bill, what was paid and paid back, credit notes, and the day on which it was paid."""

from __future__ import annotations

from typing import Any

import pytest

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Credited, Facts, Paid
from jobkit.jobs.settings import Settings
from jobkit.reckon.money.account import BillError, account_of, usual_currency
from jobkit.reckon.money.balance import balance, earned, still_owed, to_give_back
from jobkit.reckon.money.priced import priced
from tests.reckon.made import made

BENCH = Bench(Settings(currency="EUR"))
DONE = {
    "received": "2026-10-01",
    "finished": "2026-10-05",
    "outcome": "repaired",
    "price_charged": "100.00 EUR",
}


def paid(amount: str, day: str = "2026-10-06") -> tuple[Paid, ...]:
    return (Paid(day, amount, ""),)


def credit(day: str, number: str = "K26-R-0002") -> dict[str, Any]:
    note = Credited(day, "10.00 EUR", "late", "", number)
    return {"credits": (note,), "invoice_number": "K26-R-0001", "invoice_on": "2026-10-05"}


# The facts of a job; its balance, what is still owed, what is to give back.
BALANCES: dict[str, tuple[dict[str, Any], str, str, str]] = {
    "nothing paid": ({}, "100.00", "100.00", ""),
    "a part paid": ({"payments": paid("40.00 EUR")}, "60.00", "60.00", ""),
    "all paid": ({"payments": paid("100.00 EUR")}, "0.00", "", ""),
    "a cent too much": ({"payments": paid("100.01 EUR")}, "-0.01", "", "0.01"),
    "too much, and paid back": (
        {"payments": paid("110.00 EUR"), "refunds": paid("10.00 EUR", "2026-10-07")},
        "0.00",
        "",
        "",
    ),
    "marked as paid": ({"paid": "2026-10-06"}, "0.00", "", ""),
    "marked as paid, with a payment of less": (
        {"paid": "2026-10-06", "payments": paid("40.00 EUR")},
        "0.00",
        "",
        "",
    ),
    "marked as paid, with a payment of more": (
        {"paid": "2026-10-06", "payments": paid("140.00 EUR")},
        "-40.00",
        "",
        "40.00",
    ),
    "a credit note on the day on which it was paid": (
        {"paid": "2026-10-06", **credit("2026-10-06")},
        "0.00",
        "",
        "",
    ),
    "a credit note the day after": ({"paid": "2026-10-06", **credit("2026-10-07")}, "-10.00", "", "10.00"),
    "a credit note, not paid": (credit("2026-10-07"), "90.00", "90.00", ""),
    "too much, and still on the bench": ({"finished": "", "payments": paid("110.00 EUR")}, "-10.00", "", ""),
    "free of charge": ({"price_charged": "0.00 EUR"}, "0.00", "", ""),
    "no price": ({"price_charged": ""}, "", "", ""),
    "two currencies": ({"payments": paid("10.00 USD")}, "", "", ""),
    "a price that cannot be read": ({"unreadable": ("price",)}, "", "", ""),
}


def job(**fields: Any) -> Facts:
    return made("K26-0001", **{**DONE, **fields})


@pytest.mark.parametrize(("fields", "left", "owed", "back"), BALANCES.values(), ids=BALANCES)
def test_balance(fields: dict[str, Any], left: str, owed: str, back: str) -> None:
    facts = job(**fields)
    found = [
        one and f"{one.amount}"
        for one in (balance(facts, BENCH), still_owed(facts, BENCH), to_give_back(facts, BENCH))
    ]
    assert found == [left or None, owed or None, back or None]


@pytest.mark.parametrize("key", ["sent", "collected", "declined"])
def test_what_was_paid_too_much_is_given_back_once_the_job_is_over(key: str) -> None:
    facts: dict[str, Any] = {"finished": "", "outcome": "", "payments": paid("110.00 EUR")}
    assert to_give_back(job(**facts), BENCH) is None
    assert str(to_give_back(job(**facts, **{key: "2026-10-05"}), BENCH)) == "10.00 EUR"


def test_what_a_job_earned_is_without_shipping_and_less_credits() -> None:
    assert str(earned(job(price_shipping="12.00 EUR", **credit("2026-10-07")), BENCH)) == "90.00 EUR"
    assert earned(job(price_charged=""), BENCH) is None


def test_a_bill_in_two_currencies_names_both() -> None:
    facts = job(refunds=paid("10.00 USD", "2026-10-07"))
    with pytest.raises(BillError, match='"the refund of 2026-10-07" is in USD, and "repair" in EUR'):
        account_of(facts, priced(facts), BENCH.settings)


def test_the_currency_of_a_bench() -> None:
    assert usual_currency(BENCH.settings) == "EUR"
    with pytest.raises(BillError, match="names no currency"):
        usual_currency(Settings())
