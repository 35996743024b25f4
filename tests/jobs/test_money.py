from collections.abc import Callable
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.currency import MINOR_UNITS
from jobkit.jobs.money import Money, MoneyError, is_above, negated, parse_money, rounded, total

CURRENCIES = st.sampled_from(["EUR", "JPY", "KWD", "UYW"])
SPELLINGS = st.from_regex(r"(0|[1-9][0-9]{0,11})\.[0-9]{2} EUR", fullmatch=True)


@pytest.mark.parametrize(
    ("text", "spelled"),
    [
        ("160.00 EUR", "160.00 EUR"),
        ("160 EUR", "160.00 EUR"),
        ("160.5 EUR", "160.50 EUR"),
        ("007.10 EUR", "7.10 EUR"),
        ("18000 JPY", "18000 JPY"),
        ("1.234 KWD", "1.234 KWD"),
        ("1.2 KWD", "1.200 KWD"),
        ("0.0001 UYW", "0.0001 UYW"),
        ("999999999999.99 EUR", "999999999999.99 EUR"),
        ("10.00 BGN", "10.00 BGN"),
    ],
)
def test_amounts_are_read_and_spelled_with_their_minor_units(text: str, spelled: str) -> None:
    assert str(parse_money(text)) == spelled


@given(SPELLINGS)
def test_text_goes_round(text: str) -> None:
    assert str(parse_money(text)) == text


@pytest.mark.parametrize(
    ("text", "message", "mend"),
    [
        ("160,00 EUR", "has a decimal comma", "write a point"),
        ("1,234.00 EUR", "separators", "write none"),
        ("1.234,00 EUR", "separators", "write none"),
        ("1'234.00 CHF", "separators", "write none"),
        ("1 234 EUR", "separators", "write none"),
        ("EUR 160.00", "has the currency first", "write the amount first"),
        ("€160", "a sign for the currency", "three letters"),
        ("160.00", "has no currency", "three letters"),
        ("160.00EUR", "is misspelled", "one space, then capital letters"),
        ("160.00 eur", "is misspelled", "one space, then capital letters"),
        ("160.00  EUR", "is misspelled", "one space, then capital letters"),
        ("-30.00 EUR", "has a sign", "without it"),
        ("−30.00 EUR", "has a sign", "without it"),
        ("160.005 EUR", "has more decimals than EUR", "write at most 2"),
        ("160.5 JPY", "has more decimals than JPY", "write a whole amount"),
        ("1.0001 KWD", "has more decimals than KWD", "write at most 3"),
        ("12.00 EUO", 'has an unknown currency "EUO"', "did you mean EUR?"),
        ("1.00 XAU", 'has an unknown currency "XAU"', ""),
        ("1000000000000 EUR", "implausibly large", "at most twelve digits"),
        ("1e3 EUR", "is not an amount of money", "a number, a space and the currency"),
        ("nan EUR", "is not an amount of money", "a number, a space and the currency"),
        ("inf EUR", "is not an amount of money", "a number, a space and the currency"),
        ("٣.00 EUR", "is not an amount of money", "a number, a space and the currency"),
        (".50 EUR", "is not an amount of money", "a number, a space and the currency"),
        ("160. EUR", "is not an amount of money", "a number, a space and the currency"),
        ("1\n60 EUR", "is not an amount of money", "a number, a space and the currency"),
        ("", "is not an amount of money", "a number, a space and the currency"),
    ],
)
def test_what_cannot_be_read_is_refused_with_the_way_to_mend_it(text: str, message: str, mend: str) -> None:
    with pytest.raises(MoneyError) as refusal:
        parse_money(text)
    assert message in refusal.value.message
    assert mend in refusal.value.mend


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused_on_one_line(text: str) -> None:
    try:
        money = parse_money(text)
    except MoneyError as error:
        said = str(error)
    else:
        said = str(money)
        assert parse_money(said) == money
    assert len(said.splitlines()) == 1


@pytest.mark.parametrize(
    ("exact", "currency", "expected"),
    [
        # two places, half up (to even would give 0.12 and 1.00)
        ("0.125", "EUR", "0.13"),
        ("1.005", "EUR", "1.01"),
        # HMRC VATREC12030: below 0.5p down, 0.5p and above up
        ("0.0049", "GBP", "0.00"),
        ("0.005", "GBP", "0.01"),
        ("0.0149999999999999999999999999999999999", "GBP", "0.01"),
        # a credit note mirrors its bill (XPath's round would give -2 for -2.5)
        ("-2.5", "JPY", "-3"),
        ("2.5", "JPY", "3"),
        ("-0.125", "EUR", "-0.13"),
        ("-0.004", "EUR", "0.00"),
        ("1.2345", "KWD", "1.235"),
        ("1.00005", "UYW", "1.0001"),
    ],
)
def test_halves_go_away_from_zero(exact: str, currency: str, expected: str) -> None:
    assert str(rounded(Decimal(exact), currency)) == f"{expected} {currency}"


def test_fractions_are_rounded_exactly() -> None:
    assert str(rounded(Fraction(50, 60) * 47, "EUR")) == "39.17 EUR"
    assert str(rounded(Fraction(1, 3), "JPY")) == "0 JPY"


@given(st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**12), max_value=10**12), CURRENCIES)
def test_rounding_agrees_with_decimal(exact: Decimal, currency: str) -> None:
    quantum = Decimal(1).scaleb(-MINOR_UNITS[currency])
    expected = exact.quantize(quantum, ROUND_HALF_UP, Context(prec=400))
    assert rounded(exact, currency).amount == expected
    assert rounded(-exact, currency) == negated(rounded(exact, currency))
    assert rounded(exact, currency).amount.as_tuple().exponent == -MINOR_UNITS[currency]


@given(st.lists(st.integers(-(10**14), 10**14), max_size=50))
def test_sums_are_exact(cents: list[int]) -> None:
    amounts = [rounded(Fraction(each, 100), "EUR") for each in cents]
    assert total(amounts, "EUR") == rounded(Fraction(sum(cents), 100), "EUR")


def test_nothing_adds_up_to_zero_of_the_currency() -> None:
    assert str(total([], "JPY")) == "0 JPY"
    assert str(total([], "EUR")) == "0.00 EUR"


@pytest.mark.parametrize(
    "mix",
    [
        lambda euros, pounds: total([euros, pounds], "EUR"),
        lambda euros, _: total([euros], "GBP"),
        is_above,
    ],
    ids=["sum", "sum-in-another", "comparison"],
)
def test_currencies_are_never_mixed(mix: Callable[[Money, Money], object]) -> None:
    with pytest.raises(MoneyError, match="cannot be added"):
        mix(parse_money("1.00 EUR"), parse_money("1.00 GBP"))


def test_above_means_strictly_above() -> None:
    assert is_above(parse_money("10.00 EUR"), parse_money("9.99 EUR"))
    assert not is_above(parse_money("10.00 EUR"), parse_money("10 EUR"))


def test_undoing_nothing_is_nothing() -> None:
    assert str(negated(parse_money("0 EUR"))) == "0.00 EUR"
    assert negated(Money(Decimal("5.00"), "EUR")) == Money(Decimal("-5.00"), "EUR")
