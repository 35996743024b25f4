"""Serial numbers as people compare them."""

from __future__ import annotations

import re

_BETWEEN = re.compile(r"[\s\u00ad\u2010-\u2015\u2212_-]+")


def serial_key(serial: str) -> str:
    """Give what two spellings of one serial number have in common: case, spaces and hyphens are no part of it.

    >>> serial_key("T7-0019-5521") == serial_key("t7 0019 5521") == serial_key("T700195521")
    True
    """
    return _BETWEEN.sub("", serial).casefold()


def is_same_serial(one: str | None, other: str | None) -> bool:
    """Tell whether two serial numbers are one; a missing one is like no other.

    >>> is_same_serial("A1-7", "a17"), is_same_serial("", "")
    (True, False)
    """
    return bool(one and other) and serial_key(one or "") == serial_key(other or "")
