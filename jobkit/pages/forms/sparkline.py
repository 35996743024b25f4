"""The course of a figure in a line of text: a bar of eight heights for each part of the time."""

from __future__ import annotations

from collections.abc import Sequence

_BARS = "▁▂▃▄▅▆▇█"


def sparkline(course: Sequence[float | None], least: float | None = None) -> str:
    """Draw a course between its own lowest, or what is told as the `least`, and its highest; no value is a gap.

    >>> sparkline([20.0, 25.0, None, 30.0]), sparkline([5.0, 5.0])
    ('▁▅ █', '▁▁')
    >>> sparkline([1.0, 1.0, 0.0, 2.0], least=0.0)
    '▅▅▁█'
    """
    known = [value for value in course if value is not None]
    low, high = min(known, default=0.0) if least is None else least, max(known, default=0.0)
    step = (high - low) / (len(_BARS) - 1)
    return "".join(
        " " if value is None else _BARS[round((value - low) / step) if step else 0] for value in course
    )
