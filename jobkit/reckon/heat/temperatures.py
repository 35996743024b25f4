"""The temperatures of one thermocouple, cleaned: what a thermocouple cannot have read is left out, and said.

Nothing is put in its place: where readings are missing for long there is a hole, and what happened in a hole is not
known. The limits below are our choice, no source: nothing on a board gets colder than -40 °C or hotter than 500 °C in
rework, or moves by more than 10 °C in a second.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from itertools import compress, pairwise
from math import isnan, sqrt
from operator import sub
from statistics import median

from jobkit.named_tuple import NamedTuple
from jobkit.units.written import MINUS

_LOWEST, _HIGHEST = -40.0, 500.0
_STEP, _STEP_A_SECOND = 8.0, 10.0
"""A step from row to row of more than 8 °C and of more than 10 °C a second is no temperature of a board."""

_HOLE_ROWS = 5
"""Readings further apart than so many rows leave a hole."""

_OPEN_SHARE = 0.05
_NOISE = 3.0
_PROBED, _PIECE = 50, 100
_MAD_TO_SD = 1.4826
_ENOUGH = 20
"""Fewer rows do not tell a scatter from the corners of a profile."""


class Hole(NamedTuple):
    """A time without readings: from when to when in seconds, and the temperatures at both ends in °C."""

    start: float
    end: float
    before: float
    after: float

    @property
    def seconds(self) -> float:
        """How long it is."""
        return self.end - self.start


class Temperatures(NamedTuple):
    """Readings in °C with their seconds, holes between them, and what was left out; never empty.

    `fault` says why the thermocouple cannot be trusted; "" where nothing speaks against it. `interval` is how far rows
    of the log are apart as a rule.
    """

    times: Sequence[float]
    values: Sequence[float]
    interval: float
    holes: tuple[Hole, ...] = ()
    notes: tuple[str, ...] = ()
    fault: str = ""

    @property
    def peak_row(self) -> int:
        """The row of its highest reading, the first of several."""
        return max(range(len(self.values)), key=self.values.__getitem__)

    def at(self, moment: float) -> float:
        """Give the reading next to a moment."""
        after = min(bisect_left(self.times, moment), len(self.times) - 1)
        before = max(after - 1, 0)
        nearer = before if moment - self.times[before] < self.times[after] - moment else after
        return self.values[nearer]


def cleaned(times: Sequence[float], values: Sequence[float], interval: float) -> Temperatures | str:
    """Clean the readings of one column, NaN for rows without one; say why not where hardly any are left."""
    kept_times, kept, notes, fault = *_without_rails(times, values), ""
    rails = len(notes)
    total = len(values)
    if rails and total - len(kept) > _OPEN_SHARE * total:
        fault = notes[0]
    if len(kept) < 3:
        return fault or "it has fewer than three readings"
    kept_times, kept, spikes = _without_spikes(kept_times, kept)
    holes = tuple(_holes(kept_times, kept, interval))
    fault = fault or _jump(kept_times, kept, holes) or _noise(kept)
    return Temperatures(kept_times, kept, interval, holes, (*notes, *spikes), fault)


def _without_rails(
    times: Sequence[float], values: Sequence[float]
) -> tuple[Sequence[float], Sequence[float], tuple[str, ...]]:
    """Leave out rows without a reading, and those at the end of a scale: an open thermocouple."""
    # A NaN makes the sum NaN, which is quicker to see than each of a million values.
    if not isnan(sum(values)) and min(values) >= _LOWEST and max(values) <= _HIGHEST:
        return times, values, ()
    sound = [_LOWEST <= value <= _HIGHEST for value in values]
    beyond = [
        value for value, is_sound in zip(values, sound, strict=True) if not is_sound and not isnan(value)
    ]
    notes: tuple[str, ...] = ()
    if beyond:
        rows = "row reads" if len(beyond) == 1 else "rows read"
        shown = f"{max(beyond, key=abs):.0f} °C".replace("-", MINUS)
        notes = (f"{len(beyond)} {rows} up to {shown}, as an open thermocouple does; left out",)
    return list(compress(times, sound)), list(compress(values, sound)), notes


def _without_spikes(
    times: Sequence[float], values: Sequence[float]
) -> tuple[Sequence[float], Sequence[float], tuple[str, ...]]:
    """Leave out single rows that are far above or below both their neighbours."""
    if max(map(abs, map(sub, values[1:], values))) <= _STEP:
        return times, values, ()
    spikes = [
        at
        for at in range(1, len(values) - 1)
        if _is_spike(values[at - 1 : at + 2], times[at] - times[at - 1], times[at + 1] - times[at])
    ]
    if not spikes:
        return times, values, ()
    rows = (
        f"1 row, at {times[spikes[0]]:g} s, jumps" if len(spikes) == 1 else f"{len(spikes)} single rows jump"
    )
    keep = bytearray(b"\x01" * len(values))
    for at in spikes:
        keep[at] = 0
    return list(compress(times, keep)), list(compress(values, keep)), (f"{rows} away and back; left out",)


def _is_spike(three: Sequence[float], since: float, until: float) -> bool:
    up, down = three[1] - three[0], three[1] - three[2]
    allowed = max(_STEP, _STEP_A_SECOND * max(since, until))
    return min(up, down) > allowed or max(up, down) < -allowed


def _holes(times: Sequence[float], values: Sequence[float], interval: float) -> Iterator[Hole]:
    longest = _HOLE_ROWS * interval
    if max(map(sub, times[1:], times)) <= longest:
        return
    for at, (start, end) in enumerate(pairwise(times)):
        if end - start > longest:
            yield Hole(start, end, values[at], values[at + 1])


def _jump(times: Sequence[float], values: Sequence[float], holes: Sequence[Hole]) -> str:
    """Say where the temperature jumps as that of a board cannot: a loose bead, or leads that were swapped."""
    if max(map(abs, map(sub, values[1:], values))) <= _STEP:
        return ""
    starts = {hole.start for hole in holes}
    for at, (value, after) in enumerate(pairwise(values)):
        allowed = max(_STEP, _STEP_A_SECOND * (times[at + 1] - times[at]))
        if abs(after - value) > allowed and times[at] not in starts:
            return f"it jumps by {abs(after - value):.0f} °C at {times[at + 1]:g} s: a loose contact, or leads swapped"
    return ""


def _noise(values: Sequence[float]) -> str:
    """Say how much the readings scatter, where that is more than a sound contact gives.

    The standard deviation of second differences is √6 times that of the readings, and a ramp does not add to it.
    """
    step = max(_PIECE, len(values) // _PROBED)
    pieces = (values[start : start + _PIECE] for start in range(0, len(values), step))
    second = [
        abs(one - 2 * two + three)
        for piece in pieces
        for one, two, three in zip(piece, piece[1:], piece[2:], strict=False)
    ]
    if len(second) < _ENOUGH:
        return ""
    scatter = _MAD_TO_SD * median(second) / sqrt(6)
    return f"it scatters by ± {scatter:.0f} °C from row to row: a bad contact" if scatter > _NOISE else ""
