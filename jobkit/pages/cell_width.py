"""How many columns of a terminal a text takes."""

from __future__ import annotations

import re

_NARROW = re.compile(
    "[ -~\u00a1-\u00ac\u00ae-\u02ff\u0370-\u0482\u2010-\u2027\u2030-\u205e\u20a0-\u20c0\u2100-\u214f\u2190-\u22ff"
    "\u2500-\u259f\ue000]*"  # the last is what tables put between a number and its unit
)
"""Letters of Latin, Greek and Cyrillic, punctuation, currencies, units, arrows, mathematics, bars: a column each."""


def cell_width(text: str) -> int:
    """Tell how many columns of a terminal a text takes."""
    if text.isascii() or _NARROW.fullmatch(text):
        return len(text)
    # What knows the width of every character takes longer to load than most pages take to be drawn.
    from wcwidth import wcswidth  # noqa: PLC0415

    return wcswidth(text)
