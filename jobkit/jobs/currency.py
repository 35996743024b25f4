"""Currencies and their minor units, as ISO 4217 lists them."""

from __future__ import annotations

from itertools import zip_longest

from jobkit.units.errors import MisuseError

# Source: ISO 4217:2015, list one as its maintenance agency published it on 2026-01-01. Codes without a minor
# unit, such as gold or the test code, are nothing to bill in and are left out. Locale data is no substitute:
# it gives thirteen of these other decimals.
_LIST_ONE = {
    0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
    2: "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BOV BRL BSD BTN BWP BYN BZD CAD CDF "
    "CHE CHF CHW CNY COP COU CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD "
    "GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL "
    "MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR "
    "PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP "
    "TRY TTD TWD TZS UAH USD USN UYU UZS VED VES WST XAD XCD XCG YER ZAR ZMW ZWG",
    3: "BHD IQD JOD KWD LYD OMR TND",
    4: "CLF UYW",
}

# Withdrawn since 2023 (list three, from memory): an old job keeps the currency in which it was paid.
_LATELY_WITHDRAWN = {2: "ANG BGN CUC HRK SLL ZWL"}

MINOR_UNITS: dict[str, int] = {
    code: units
    for part in (_LIST_ONE, _LATELY_WITHDRAWN)
    for units, codes in part.items()
    for code in codes.split()
}
"""Number of decimals by currency code."""

# Of several codes one slip away, the one that more benches bill in is meant.
_COMMON = frozenset(("AUD", "CAD", "CHF", "CNY", "EUR", "GBP", "INR", "JPY", "NOK", "PLN", "SEK", "USD"))


class CurrencyError(MisuseError):
    """A currency that ISO 4217 does not list."""


def minor_units(code: str) -> int:
    """Tell how many decimals amounts of a currency have; raises CurrencyError for a code that is not listed.

    >>> minor_units("EUR"), minor_units("JPY"), minor_units("KWD")
    (2, 0, 3)
    """
    units = MINOR_UNITS.get(code)
    if units is None:
        raise CurrencyError(f"unknown currency {code!r}", _mend(code))
    return units


def nearest_code(written: str) -> str | None:
    """Find the listed code one slip from what was written (case, one letter, letters swapped), else None.

    >>> nearest_code("EUO"), nearest_code("UDS"), nearest_code("euro"), nearest_code("XQQ")
    ('EUR', 'USD', 'EUR', None)
    """
    upper = written.upper()
    nearest = min(MINOR_UNITS, key=lambda code: (_slips(upper, code), code not in _COMMON, code))
    return nearest if _slips(upper, nearest) <= 1 else None


def _slips(written: str, code: str) -> int:
    if written == code:
        return 0
    if sorted(written) == sorted(code):
        return 1
    return sum(one != other for one, other in zip_longest(written, code))


def _mend(code: str) -> str:
    nearest = nearest_code(code)
    if nearest is None:
        return "write the three letters of ISO 4217, such as EUR"
    return f"did you mean {nearest}?"
