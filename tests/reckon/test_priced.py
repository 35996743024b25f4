"""The status table and the bill agree on whether there is something to pay; rows of jobs agree with jobs."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from jobkit.book.read.load import load_job
from jobkit.jobs.asof import facts_as_of, job_as_of
from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job
from jobkit.jobs.money import Money
from jobkit.jobs.settings import Settings, Tax
from jobkit.reckon.money.balance import still_owed
from jobkit.reckon.money.bill import bill
from jobkit.reckon.money.priced import NOTHING, basis, most_allowed
from jobkit.reckon.progress.status import owed, status
from tests.bills import job

MONEY = st.integers(0, 9999).map(lambda cents: f"{cents / 100:.2f} EUR")
DAYS = st.integers(6, 20).map(lambda day: f"2026-10-{day:02}")


def _maybe(key: str) -> st.SearchStrategy[str]:
    return st.just("") | MONEY.map(lambda money: f'{key} = "{money}"\n')


def _entries(name: str, rest: str) -> st.SearchStrategy[str]:
    one = st.builds(f'[[price.{name}]]\non = {{}}\namount = "{{}}"\n{rest}'.format, DAYS, MONEY)
    return st.lists(one, max_size=2).map("".join)


LINES = st.lists(
    st.builds('[[price.line]]\nwhat = "x"\nquantity = {}\neach = "{}"\n'.format, st.integers(1, 3), MONEY),
    max_size=2,
)
DISCOUNTS = st.lists(
    st.builds('[[price.discount]]\namount = "{}"\nwhy = "{}"\n'.format, MONEY, st.sampled_from("ab")),
    max_size=2,
)
PRICES = st.builds(
    "[price]\n{}{}{}{}{}{}{}{}{}{}".format,
    _maybe("quoted"),
    _maybe("if_not_repaired"),
    _maybe("charged"),
    _maybe("shipping"),
    _entries("agreed", ""),
    LINES.map("".join),
    _entries("payment", ""),
    _entries("credit", 'why = "late"\n'),
    DISCOUNTS.map("".join),
    _entries("refund", ""),
)
OUTCOMES = st.sampled_from(["", "repaired", "no-fault-found", "beyond-repair", "declined"])
DATES = st.lists(
    st.sampled_from(["agreed", "declined", "started", "finished", "paid", "sent"]), unique=True
).flatmap(lambda names: st.tuples(*(DAYS.map(f"{name} = {{}}\n".format) for name in names)).map("".join))


def loaded(price: str, outcome: str = "repaired", dates: str = "") -> Job:
    read = load_job("jobs/2026/K26-0001.toml", job(price, outcome, dates).encode())
    assert read.job is not None
    assert read.troubles == ()
    return read.job


def at(percent: int, prices: str = "net") -> Bench:
    return Bench(settings=Settings(currency="EUR", tax=(Tax("VAT", Decimal(percent), prices),)))


@pytest.mark.parametrize("prices", ["net", "gross"])
@given(price=PRICES, outcome=OUTCOMES, dates=DATES, percent=st.sampled_from([0, 6, 24]))
def test_status_and_bill_agree(prices: str, price: str, outcome: str, dates: str, percent: int) -> None:
    facts = facts_of(loaded(price, outcome, dates))
    assume(_is_paid_back_at_most(facts))
    made = bill(facts, at(percent, prices))
    has_to_pay = basis(facts) != NOTHING and made.totals.gross.amount > 0
    assert (owed(facts) is not None) == has_to_pay
    if facts.sent:
        assert status(facts).word == ("sent, unpaid" if has_to_pay and not facts.paid else "done")
    left = still_owed(facts, at(percent, prices))
    assert (left is not None) == bool(made.owed and made.owed.amount > 0)


@given(price=PRICES, outcome=OUTCOMES, dates=DATES, percent=st.sampled_from([0, 6, 24]))
def test_what_is_owed_recomputed_another_way(price: str, outcome: str, dates: str, percent: int) -> None:
    facts = facts_of(loaded(price, outcome, dates))
    assume(_is_paid_back_at_most(facts))
    made = bill(facts, at(percent))
    net = sum(Fraction(row.line.quantity) * Fraction(row.line.each.amount) for row in made.totals.lines)
    paid, refunded = (
        sum((Fraction(Decimal(one.amount.split()[0])) for one in money), Fraction(0))
        for money in (facts.payments, facts.refunds)
    )
    tax = (net * percent + (50 if net >= 0 else -50) * Fraction(1, 100) * 1) / 100
    # Cut the rest of a cent off, toward zero: together with half a cent this rounds halves away from zero.
    tax = Fraction(int(tax * 100), 100)
    assert Fraction(made.totals.gross.amount) == net + tax
    if made.owed is not None:
        assert Fraction(made.owed.amount) == _balance(facts, net + tax, paid - refunded, percent)


def _is_paid_back_at_most(facts: Facts) -> bool:
    """Tell whether no more was paid back than was paid; else there is no bill."""
    paid, refunded = (
        sum(Decimal(one.amount.split()[0]) for one in money) for money in (facts.payments, facts.refunds)
    )
    return refunded <= paid or bool(facts.paid and not facts.payments)


def _balance(facts: Facts, gross: Fraction, kept: Fraction, percent: int) -> Fraction:
    """Once it is marked as paid, nothing is left to pay, but there may be money to give back."""
    if not facts.paid:
        return gross - kept
    if facts.payments:
        return min(gross - kept, Fraction(0))
    then = bill(
        facts._replace(credits=tuple(one for one in facts.credits if one.day <= facts.paid)), at(percent)
    )
    return min(gross - Fraction(then.totals.gross.amount) - kept, Fraction(0))


@given(price=PRICES, outcome=OUTCOMES, dates=DATES, day=st.integers(5, 21))
def test_a_job_of_a_day_and_its_row_of_that_day_are_billed_alike(
    price: str, outcome: str, dates: str, day: int
) -> None:
    whole, on = loaded(price, outcome, dates), date(2026, 10, day)
    (row,) = facts_as_of([facts_of(whole)], on)
    assume(_is_paid_back_at_most(row))
    made, again = bill(row, at(24)), bill(facts_of(job_as_of(whole, on)), at(24))
    assert (made.basis, made.totals, made.owed) == (again.basis, again.totals, again.owed)


ALLOWED = [
    ("", "repaired", None),
    ('ceiling = "200.00 EUR"\n', "repaired", "200.00 EUR"),
    (
        'ceiling = "200.00 EUR"\n[[price.agreed]]\non = 2026-10-07\namount = "160.00 EUR"\n',
        "repaired",
        "200.00 EUR",
    ),
    (
        'ceiling = "200.00 EUR"\n[[price.agreed]]\non = 2026-10-07\namount = "210.00 EUR"\n',
        "repaired",
        "210.00 EUR",
    ),
    (
        'ceiling = "200.00 EUR"\n[[price.agreed]]\non = 2026-10-07\namount = "900 JPY"\n',
        "repaired",
        "200.00 EUR",
    ),
    ('ceiling = "200.00 EUR"\nif_not_repaired = "30.00 EUR"\n', "beyond-repair", "30.00 EUR"),
    ('ceiling = "200.00 EUR"\nif_not_repaired = "30.00 EUR"\n', "no-fault-found", "200.00 EUR"),
]


@pytest.mark.parametrize(("price", "outcome", "most"), ALLOWED)
def test_the_most_it_may_come_to(price: str, outcome: str, most: str | None) -> None:
    allowed = most_allowed(facts_of(loaded(f"[price]\n{price}", outcome)))
    assert (str(allowed) if allowed else None) == most


MIXED = '[price]\ncharged = "10.00 EUR"\nshipping = "5.00 USD"\n'


def test_mixed_currencies_never_stop_a_table() -> None:
    facts: Facts = facts_of(loaded(MIXED, dates="finished = 2026-10-09\nsent = 2026-10-10\n"))
    assert (status(facts).word, owed(facts)) == ("sent, unpaid", Money(Decimal("10.00"), "EUR"))
    assert still_owed(facts, at(24)) is None
