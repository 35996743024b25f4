"""Figures, money and days in other languages: what is written reads back as the same value, to the last digit."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from babel.dates import parse_date
from babel.numbers import parse_decimal
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.money import Money
from jobkit.pages.language.english import EnglishFormats, PlainFormats
from jobkit.pages.language.locale_formats import LocaleFormats
from jobkit.units.errors import MisuseError

LANGUAGES = ("de", "de-AT", "de-CH", "nl", "fr", "sv", "is", "pl", "pt-BR", "en-US", "sr-Latn")
LOCALES = {tag: tag.replace("-", "_") for tag in LANGUAGES}
AMOUNTS = st.integers(-(10**12), 10**12)
_SIGNS = "€$£¥"


def bare(text: str) -> str:
    """Leave the digits and signs of a number."""
    return "".join(letter for letter in text if letter.isdigit() or letter in ",.’-−+ ").strip().strip(".")


@pytest.mark.parametrize("tag", LANGUAGES)
@given(amount=AMOUNTS, decimals=st.integers(0, 5))
def test_money_reads_back(tag: str, amount: int, decimals: int) -> None:
    exact = Decimal(amount).scaleb(-decimals)
    text = LocaleFormats(tag).money(Money(exact, "EUR")).replace("€", "").replace("EUR", "")
    assert parse_decimal(bare(text).replace(" ", ""), locale=LOCALES[tag]) == exact


@pytest.mark.parametrize("tag", LANGUAGES)
@given(amount=AMOUNTS, decimals=st.integers(0, 6))
def test_numbers_and_percentages_read_back(tag: str, amount: int, decimals: int) -> None:
    exact = Decimal(amount).scaleb(-decimals)
    formats = LocaleFormats(tag)
    for text in (formats.number(exact), formats.percent(exact).replace("%", "")):
        assert parse_decimal(bare(text).replace(" ", ""), locale=LOCALES[tag]) == exact


@pytest.mark.parametrize("tag", ["de", "nl", "en-US"])
@given(day=st.dates(date(2000, 1, 1), date(2068, 12, 31)))
def test_short_days_read_back(tag: str, day: date) -> None:
    text = LocaleFormats(tag).day(day)
    if any(letter.isalpha() for letter in text):
        assert str(day.year) in text
        assert str(day.day) in text
    else:
        assert parse_date(text, locale=LOCALES[tag]) == day


@given(day=st.dates(date(1900, 1, 1), date(2199, 12, 31)))
def test_iso_days_stand_in_where_there_are_no_locale_data(day: date) -> None:
    assert date.fromisoformat(PlainFormats().long_day(day)) == day
    assert PlainFormats().day(day) == EnglishFormats().day(day) == day.isoformat()


@pytest.mark.parametrize(
    ("amount", "currency", "text"),
    [
        ("1234.56", "EUR", "1.234,56 €"),
        ("-12.40", "EUR", "-12,40 €"),
        ("0.0042", "EUR", "0,0042 €"),
        ("8500", "ISK", "8.500 ISK"),
        ("12.345", "KWD", "12,345 KWD"),
        ("0.00", "CHF", "0,00 CHF"),
    ],
)
def test_german_money_keeps_the_decimals_that_were_calculated(amount: str, currency: str, text: str) -> None:
    """Expected forms: DIN 5008, groups of three with a point, a comma, the sign behind (from memory)."""
    assert LocaleFormats("de").money(Money(Decimal(amount), currency)) == text


def test_german_days() -> None:
    """Forms of DIN 5008 (from memory): 29.11.2026, 29. November 2026."""
    day = date(2026, 11, 29)
    assert (LocaleFormats("de").day(day), LocaleFormats("de").long_day(day)) == (
        "29.11.2026",
        "29. November 2026",
    )


@pytest.mark.parametrize(
    ("text", "german"),
    [
        ("0.4 Ω", "0,4 Ω"),
        (">= 0.5 V", ">= 0,5 V"),
        ("0.25 Ω .. 1.2 Ω", "0,25 Ω .. 1,2 Ω"),
        ("3174 Ω", "3174 Ω"),
    ],
)
def test_figures_get_the_decimal_sign_and_keep_all_else(text: str, german: str) -> None:
    assert LocaleFormats("de").figure(text) == german


def test_a_language_that_the_locale_data_lack() -> None:
    with pytest.raises(MisuseError, match='no language "zz"'):
        LocaleFormats("zz")
