from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.money import Money, MoneyError, negated, parse_money, rounded
from jobkit.reckon.money.tax import PRICES, ROUNDED, TaxedLine, TaxError, Totals, totals


def line(quantity: str, each: str, percent: str, what: str = "labour") -> TaxedLine:
    return TaxedLine(what, Decimal(quantity), parse_money(each), Decimal(percent))


def spelled(bill: Totals) -> tuple[str, str, str]:
    return str(bill.net), str(bill.tax), str(bill.gross)


def rows(bill: Totals) -> list[tuple[Money, Money, Money]]:
    lines = [(each.net, each.tax, each.gross) for each in bill.lines]
    rates = [(each.net, each.tax, each.gross) for each in bill.rates]
    return [*lines, *rates, (bill.net, bill.tax, bill.gross)]


LINES = st.lists(
    st.builds(
        TaxedLine,
        what=st.just("part"),
        quantity=st.integers(-20, 20).map(Decimal) | st.fractions(-3, 3, max_denominator=60),
        each=st.decimals(0, 500, places=2).map(lambda amount: Money(amount, "EUR")),
        percent=st.sampled_from([Decimal(each) for each in ("0", "5.5", "6", "19", "21", "24")]),
    ),
    max_size=8,
)
WAYS = [(prices, by) for prices in PRICES for by in ROUNDED]


def test_the_official_example_of_en_16931() -> None:
    # EN 16931, official example 1: two rates, and the exact sums of BR-CO-10 and
    # BR-CO-14
    bill = totals([line("1", "183.23 EUR", "6"), line("1", "46.37 EUR", "21")], "EUR")
    assert [str(rate.tax) for rate in bill.rates] == ["10.99 EUR", "9.74 EUR"]
    assert spelled(bill) == ("229.60 EUR", "20.73 EUR", "250.33 EUR")


@pytest.mark.parametrize(
    ("count", "each", "by_line", "by_bill"),
    # HMRC internal manual VATREC12030, at 20 %: rounding by line and by bill differ
    [(3, "0.33 GBP", "0.21 GBP", "0.20 GBP"), (5, "0.12 GBP", "0.10 GBP", "0.12 GBP")],
)
def test_lines_and_bills_round_differently(count: int, each: str, by_line: str, by_bill: str) -> None:
    lines = [line("1", each, "20")] * count
    assert str(totals(lines, "GBP", by="line").tax) == by_line
    assert str(totals(lines, "GBP", by="bill").tax) == by_bill


@pytest.mark.parametrize("by", ROUNDED)
def test_gross_prices_hold_their_tax(by: str) -> None:
    # HMRC's VAT fraction: at 20 % one sixth of the gross price is tax (from memory)
    bill = totals([line("1", "100.00 GBP", "20")], "GBP", "gross", by)
    assert spelled(bill) == ("83.33 GBP", "16.67 GBP", "100.00 GBP")
    bill = totals([line("1", "124.00 EUR", "24")], "EUR", "gross", by)
    assert spelled(bill) == ("100.00 EUR", "24.00 EUR", "124.00 EUR")


def test_the_lines_of_a_bill_rounded_as_a_whole_show_their_part() -> None:
    bill = totals([line("1", "0.33 GBP", "20")] * 3, "GBP")
    assert [str(each.tax) for each in bill.lines] == ["0.07 GBP", "0.06 GBP", "0.07 GBP"]
    assert [str(each.gross) for each in bill.lines] == ["0.40 GBP", "0.39 GBP", "0.40 GBP"]


def test_minutes_of_an_hour_are_reckoned_exactly() -> None:
    work = TaxedLine("labour", Fraction(50, 60), parse_money("47.00 EUR"), Decimal(24))
    # 39.1666… rounds to 39.17, its tax 9.4008 to 9.40
    assert spelled(totals([work], "EUR")) == ("39.17 EUR", "9.40 EUR", "48.57 EUR")


@pytest.mark.parametrize(
    ("currency", "each", "expected"),
    [
        ("JPY", "1005 JPY", ("1005 JPY", "101 JPY", "1106 JPY")),
        ("KWD", "1.005 KWD", ("1.005 KWD", "0.101 KWD", "1.106 KWD")),
    ],
)
def test_benches_without_cents_and_with_thousandths(
    currency: str, each: str, expected: tuple[str, str, str]
) -> None:
    assert spelled(totals([line("1", each, "10")], currency)) == expected


def test_a_bill_of_nothing_comes_to_nothing() -> None:
    assert totals([], "JPY") == Totals((), (), *[Money(Decimal(0), "JPY")] * 3)


@pytest.mark.parametrize(("prices", "by"), WAYS)
@given(lines=LINES)
def test_columns_add_up_over_lines_and_over_rates(prices: str, by: str, lines: Sequence[TaxedLine]) -> None:
    bill = totals(lines, "EUR", prices, by)
    lines_and_rates, whole = rows(bill)[:-1], rows(bill)[-1]
    for part in (lines_and_rates[: len(lines)], lines_and_rates[len(lines) :]):
        for column, wanted in enumerate(whole):
            assert wanted.amount == sum(row[column].amount for row in part)
    for net, tax, gross in rows(bill):
        assert net.amount + tax.amount == gross.amount


@pytest.mark.parametrize(("prices", "by"), WAYS)
@given(lines=LINES)
def test_a_credit_note_mirrors_its_bill(prices: str, by: str, lines: Sequence[TaxedLine]) -> None:
    bill = totals(lines, "EUR", prices, by)
    credit = totals([each._replace(quantity=-each.quantity) for each in lines], "EUR", prices, by)
    assert rows(credit) == [tuple(map(negated, row)) for row in rows(bill)]


@given(LINES)
def test_tax_recomputed_another_way(lines: Sequence[TaxedLine]) -> None:
    cent = Decimal("0.01")
    by_line, by_bill = totals(lines, "EUR", by="line"), totals(lines, "EUR", by="bill")
    for each in by_line.lines:
        exact = each.net.amount * each.line.percent / 100
        assert each.tax.amount == exact.quantize(cent, ROUND_HALF_UP)
    for rate in by_bill.rates:
        taxed = sum(each.net.amount for each in by_bill.lines if each.line.percent == rate.percent)
        assert rate.tax.amount == (taxed * rate.percent / 100).quantize(cent, ROUND_HALF_UP)
    for each in by_bill.lines:
        assert abs(each.tax.amount - each.net.amount * each.line.percent / 100) <= cent
        assert each.net == rounded(Fraction(each.line.quantity) * Fraction(each.line.each.amount), "EUR")


def test_currencies_are_never_mixed() -> None:
    with pytest.raises(MoneyError, match=r"1\.00 USD and amounts in EUR cannot be added"):
        totals([line("1", "1.00 EUR", "24"), line("1", "1.00 USD", "24")], "EUR")


@pytest.mark.parametrize(
    ("percent", "prices", "by", "message"),
    [
        ("-1", "net", "bill", "-1 % is not a rate of tax"),
        ("101", "net", "bill", "101 % is not a rate of tax"),
        ("24", "nett", "bill", 'prices cannot be "nett"'),
        ("24", "net", "item", 'tax cannot be rounded by "item"'),
    ],
)
def test_what_cannot_be_taxed_is_refused(percent: str, prices: str, by: str, message: str) -> None:
    with pytest.raises(TaxError, match=message):
        totals([line("1", "1.00 EUR", percent)], "EUR", prices, by)
