"""Figures as people say them."""

from __future__ import annotations

from decimal import Decimal

FOUND = {
    "same-fault": "the same fault",
    "our-work": "our own work",
    "new-fault": "a new fault",
    "misuse": "misuse",
    "not-shown": "nothing shown on the bench",
}
"""What a comeback was found to be, in words."""


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


def counted(count: int, one: str, many: str = "") -> str:
    """Say how many there are of something.

    >>> counted(1, "board"), counted(0, "board"), counted(2, "kind of work", "kinds of work")
    ('1 board', '0 boards', '2 kinds of work')
    """
    return f"{count} {one if count == 1 else many or f'{one}s'}"


def share(part: float) -> str:
    """Say a share in percent, to one decimal.

    >>> share(0.1154), share(1)
    ('11.5 %', '100.0 %')
    """
    return f"{100 * part:.1f} %"
