import iso4217
import pytest

from jobkit.jobs.currency import MINOR_UNITS, CurrencyError, minor_units, nearest_code

# ISO 4217 list one, minor units other than 2.
OTHER_UNITS = {
    0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
    3: "BHD IQD JOD KWD LYD OMR TND",
    4: "CLF UYW",
}
LATELY_WITHDRAWN = {"ANG", "BGN", "CUC", "HRK", "SLL", "ZWL"}


def test_every_active_code_has_the_units_of_the_official_list() -> None:
    # The package carries the maintenance agency's own file, list one of 2026-01-01.
    official = {each.code: each.exponent for each in iso4217.Currency if each.exponent is not None}
    ours = {code: units for code, units in MINOR_UNITS.items() if code not in LATELY_WITHDRAWN}
    assert ours == official


@pytest.mark.parametrize(
    ("code", "units"), [(code, units) for units, codes in OTHER_UNITS.items() for code in codes.split()]
)
def test_minor_units_other_than_two(code: str, units: int) -> None:
    assert minor_units(code) == units


def test_no_other_code_departs_from_two() -> None:
    listed = {code for codes in OTHER_UNITS.values() for code in codes.split()}
    assert {code for code, units in MINOR_UNITS.items() if units != 2} == listed


def test_locale_data_would_be_wrong() -> None:
    # CLDR gives all of these 0 decimals (from memory); ISO 4217 gives 2, and 3 for IQD.
    assert {
        minor_units(code) for code in ("AFN", "ALL", "IRR", "KPW", "LAK", "LBP", "MMK", "SOS", "SYP")
    } == {2}
    assert minor_units("IQD") == 3


@pytest.mark.parametrize("code", ["XAU", "XXX", "XTS", "DEM", "eur", "", "EURO"])
def test_what_is_not_listed_is_refused(code: str) -> None:
    with pytest.raises(CurrencyError, match="unknown currency"):
        minor_units(code)


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("EUO", "EUR"),
        ("eur", "EUR"),
        ("UER", "EUR"),
        ("EURO", "EUR"),
        ("EU", "EUR"),
        ("USB", "USD"),
        ("GPB", "GBP"),
        ("CFH", "CHF"),
        ("XQQ", None),
        ("", None),
        ("dollars", None),
    ],
)
def test_nearest_code(written: str, meant: str | None) -> None:
    assert nearest_code(written) == meant


def test_the_refusal_names_the_nearest_code() -> None:
    with pytest.raises(CurrencyError) as refusal:
        minor_units("EUO")
    assert refusal.value.mend == "did you mean EUR?"
