"""Figures of load logs as people write them."""

from __future__ import annotations

from jobkit.reckon.statistics.series import exactly
from jobkit.units.written import MINUS, show


def figure(value: float, unit: str, digits: int = 4) -> str:
    """Write what a sensor showed: a temperature to a tenth of a degree, all else to four digits.

    >>> figure(87.63, "°C"), figure(102.0, "°C"), figure(229.68, "W"), figure(2.1e9, "Hz"), figure(3, "errors")
    ('87.6 °C', '102.0 °C', '229.7 W', '2.1 GHz', '3 errors')
    """
    if unit == "°C":
        return f"{value:.1f} °C".replace("-", MINUS)
    return show(exactly(value), unit, digits).strip()


def signed(value: float) -> str:
    """Write a drift with its sign.

    >>> signed(3.17), signed(-0.04), signed(-12.0)
    ('+3.2', '0.0', '−12.0')
    """
    text = f"{abs(value):.1f}"
    if not float(text):
        return text
    return f"{'+' if value > 0 else MINUS}{text}"


def clock_time(seconds: float) -> str:
    """Write a stretch of time: seconds up to two minutes, then minutes, then hours and minutes.

    >>> clock_time(45.2), clock_time(1800), clock_time(5400), clock_time(0.25)
    ('45 s', '30 min', '1 h 30 min', '0.25 s')
    """
    if seconds < 10:
        return f"{seconds:.2g} s"
    if seconds < 120:
        return f"{seconds:.0f} s"
    minutes = round(seconds / 60)
    if minutes < 90:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60} min" if minutes % 60 else f"{minutes // 60} h"
