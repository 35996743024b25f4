"""The course of a figure in a line of text: a bar of eight heights for each part of the time."""

from __future__ import annotations

from collections.abc import Sequence

_BARS = "▁▂▃▄▅▆▇█"


def sparkline(course: Sequence[float | None]) -> str:
    """Draw a course between its own lowest and highest; a part without values is a gap.

    >>> sparkline([20.0, 25.0, None, 30.0]), sparkline([5.0, 5.0])
    ('▁▅ █', '▁▁')
    """
    known = [value for value in course if value is not None]
    low, high = min(known, default=0.0), max(known, default=0.0)
    step = (high - low) / (len(_BARS) - 1)
    return "".join(
        " " if value is None else _BARS[round((value - low) / step) if step else 0] for value in course
    )
