"""Figures as people say them."""

from __future__ import annotations

from decimal import Decimal


def hours(minutes: Decimal) -> str:
    """Say a stretch of work.

    >>> hours(Decimal(75)), hours(Decimal(40))
    ('1 h 15 min', '40 min')
    """
    whole, rest = divmod(int(minutes.to_integral_value()), 60)
    if not whole:
        return f"{rest} min"
    return f"{whole} h {rest} min" if rest else f"{whole} h"


def listed(*parts: str | None) -> str:
    """Join what there is with commas.

    >>> listed("graphics card", None, "serial 7")
    'graphics card, serial 7'
    """
    return ", ".join(part for part in parts if part)
