"""Currencies and their minor units, as ISO 4217 lists them."""

from __future__ import annotations

from jobkit.units.errors import MisuseError
from jobkit.units.slip import nearest, quoted

# Source: ISO 4217:2015, list one as its maintenance agency published it on 2026-01-01. Codes without a minor
# unit, such as gold or the test code, are nothing to bill in and are left out. Locale data is not a substitute:
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


class CurrencyError(MisuseError):
    """A currency that ISO 4217 does not list."""


def minor_units(code: str) -> int:
    """Tell how many decimals amounts of a currency have; raises CurrencyError for a code that is not listed.

    >>> minor_units("EUR"), minor_units("JPY"), minor_units("KWD")
    (2, 0, 3)
    """
    units = MINOR_UNITS.get(code)
    if units is None:
        raise CurrencyError(f"unknown currency {quoted(code)}", _mend(code))
    return units


def nearest_code(written: str) -> str | None:
    """Find the listed code that was meant, whatever the case of the letters; None where none is near.

    >>> nearest_code("EUO"), nearest_code("UDS"), nearest_code("euro"), nearest_code("XQQ")
    ('EUR', 'USD', 'EUR', None)
    """
    return nearest(written.upper(), tuple(MINOR_UNITS))


def _mend(code: str) -> str:
    meant = nearest_code(code)
    return f"did you mean {meant}?" if meant else "write the three letters of ISO 4217, such as EUR"
