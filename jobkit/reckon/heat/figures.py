"""Figures of a heating, from the temperatures of one thermocouple: peak, ramps, times above a temperature.

Crossings are interpolated between two readings. A hole is not bridged: its time counts for nothing, and
`hides` tells whether something may have happened in it.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import repeat
from math import fsum
from operator import le

from jobkit.named_tuple import NamedTuple
from jobkit.reckon.heat.temperatures import Hole, Temperatures
from jobkit.reckon.statistics.series import Series, mean

WINDOW = 10.0
"""Seconds over which a ramp is measured unless the call says otherwise. Our choice: the standard names none."""

SOLID_AGAIN = 20.0
"""A joint that cools by so many degrees below where it melts is solid again. Our choice, no source."""

_RAMP = 3.0
_HIDDEN = 150.0
_BLOCKS = 20
_ROUNDED = 1e-6
_ABOVE_ROOM = 2.0


class Span(NamedTuple):
    """From when to when, in seconds."""

    start: float
    end: float


class Ramp(NamedTuple):
    """The steepest change: °C a second, at which second it begins, and the window it was measured over."""

    rate: float
    at: float
    seconds: float


def peak_of(readings: Temperatures) -> tuple[float, float]:
    """Give the highest temperature and its second."""
    row = readings.peak_row
    return readings.values[row], readings.times[row]


def spans_above(readings: Temperatures, level: float) -> tuple[Span, ...]:
    """Give the spans in which the temperature is at `level` or above, with interpolated ends."""
    times, values = readings.times, readings.values
    if max(values) < level:
        return ()
    above = bytes(map(le, repeat(level), values))
    starts = {hole.start for hole in readings.holes}
    spans, at = [], above.find(1)
    while at >= 0:
        end = above.find(b"\x00", at)
        last = len(values) - 1 if end < 0 else end - 1
        start = times[at]
        if at and times[at - 1] not in starts:
            start = _crossing(times, values, at - 1, level)
        until = times[last]
        if end > 0 and times[last] not in starts:
            until = _crossing(times, values, last, level)
        spans.append(Span(start, until))
        if end < 0:
            break
        at = above.find(1, end)
    return tuple(spans)


def seconds_within(spans: Sequence[Span], holes: Sequence[Hole]) -> float:
    """Add up spans, less the holes in them."""
    whole = fsum(span.end - span.start for span in spans)
    return whole - sum(
        max(0.0, min(span.end, hole.end) - max(span.start, hole.start)) for span in spans for hole in holes
    )


def heatings_above(readings: Temperatures, level: float) -> int:
    """Count how often the temperature rose to `level`, each time from so far below that solder was solid again."""
    hot = spans_above(readings, level)
    return sum(
        any(outer.start <= span.start and span.end <= outer.end for span in hot)
        for outer in (spans_above(readings, level - SOLID_AGAIN) if hot else ())
    )


def steepest(readings: Temperatures, window: float = WINDOW) -> tuple[Ramp | None, Ramp | None]:
    """Give the steepest rise and the steepest fall; None for both where the log is shorter than the window.

    Each reading is first replaced by the median of itself and its two neighbours, which leaves a ramp as it is and
    takes away what a single row says. A window over a long hole is left out.
    """
    times, values = _in_blocks(readings.times, _medians(readings.values), readings.interval, window)
    longest = max(window, 2 * readings.interval)
    up: Ramp | None = None
    down: Ramp | None = None
    first = 0
    for last, end in enumerate(times):
        while first + 1 < last and end - times[first + 1] >= longest - _ROUNDED:
            first += 1
        seconds = end - times[first]
        if not longest - _ROUNDED <= seconds <= 2 * longest:
            continue
        rate = (values[last] - values[first]) / seconds
        if up is None or rate > up.rate:
            up = Ramp(rate, times[first], seconds)
        if down is None or -rate > down.rate:
            down = Ramp(-rate, times[first], seconds)
    return up, down


def hides(readings: Temperatures) -> Hole | None:
    """Give the first hole in which the board may have become hot: above 150 °C at a ramp of 3 °C/s up and down."""
    return next((one for one in readings.holes if _hottest(one) > _HIDDEN), None)


def seconds_between(readings: Temperatures, low: float, high: float) -> float:
    """Give the seconds between two temperatures before the peak: the preheat."""
    _, top = peak_of(readings)
    below = (_until(spans_above(readings, level), top) for level in (low, high))
    above_low, above_high = (seconds_within(spans, readings.holes) for spans in below)
    return above_low - above_high


def seconds_to_peak(readings: Temperatures, start: float) -> float | None:
    """Give the seconds from `start` °C to the peak; None where the log begins more than 10 °C above `start`.

    In a room warmer than that, they count from 2 °C above where the log begins.
    """
    if readings.values[0] > start + 10:
        return None
    _, top = peak_of(readings)
    level = max(start, readings.values[0] + _ABOVE_ROOM)
    return next((top - one.start for one in spans_above(readings, level) if one.start <= top <= one.end), 0.0)


def _until(spans: Sequence[Span], moment: float) -> list[Span]:
    return [Span(one.start, min(one.end, moment)) for one in spans if one.start < moment]


def _hottest(hole: Hole) -> float:
    return (hole.before + hole.after + _RAMP * hole.seconds) / 2


def _crossing(times: Sequence[float], values: Sequence[float], at: int, level: float) -> float:
    """Interpolate when the temperature is at `level` between row `at` and the next."""
    share = (level - values[at]) / (values[at + 1] - values[at])
    return times[at] + share * (times[at + 1] - times[at])


def _in_blocks(times: Sequence[float], values: Sequence[float], interval: float, window: float) -> Series:
    """Average rows that are much closer than the window, so that a window holds some twenty points."""
    size = int(window / _BLOCKS / interval) if interval > 0 else 1
    if size <= 1:
        return Series(times, values)
    starts = range(0, len(times), size)
    return Series(
        [mean(times[start : start + size]) for start in starts],
        [mean(values[start : start + size]) for start in starts],
    )


def _medians(values: Sequence[float]) -> Sequence[float]:
    """Replace each value by the median of itself and its neighbours; the ends stay."""
    inner = [
        max(min(one, two), min(max(one, two), three))
        for one, two, three in zip(values, values[1:], values[2:], strict=False)
    ]
    return [values[0], *inner, values[-1]]
