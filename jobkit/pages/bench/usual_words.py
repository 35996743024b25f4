"""How to read what is usual: which factor, which confidence, and what is odd about a sample."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from jobkit.jobs.serial import serial_key
from jobkit.pages.bench.usual_data import UsualView
from jobkit.pages.words import counted, share
from jobkit.reckon.readings.good_boards import Good
from jobkit.reckon.readings.usual import CONFIDENCE, CONTENT, DesignUsual, Usual
from jobkit.reckon.statistics.tolerance import ToleranceBound, ToleranceInterval, values_needed
from jobkit.units.written import plain_digits


def how_to_read(rows: Sequence[Usual]) -> Iterator[str]:
    """Say what interval, one-sided limit and range seen hold, with which confidence."""
    content, confidence = share_plain(CONTENT), share_plain(CONFIDENCE)
    each = _factors((row.n, row.interval) for row in rows if not row.bound and not row.outliers)
    if each:
        yield (
            f"interval: mean ± k sd, which holds {content} of all boards with {confidence} confidence if they are "
            f"normally distributed; exact k = {each}; from 4 boards on."
        )
    each = _factors((row.n, row.bound) for row in rows if not row.outliers)
    if each:
        yield (
            f">= or <=: where the limit has one side, mean − k sd or mean + k sd, which {content} of all boards are "
            f"above or below with {confidence} confidence; exact one-sided k = {each}."
        )
    each = _factors((row.n, row.bound or row.interval) for row in rows if row.outliers)
    if each:
        yield (
            f"Where a reading was dropped the interval is made in the same way (k = {each}), but no confidence is "
            "given: what is left looks less spread than boards are. In simulated samples of 6 to 60 normal boards, "
            "where nothing is wrong, such an interval holds 95 % of all boards in only 40 to 80 of 100 samples."
        )
    sure = {row.n + len(row.open): row.range_confidence for row in rows if not row.open}
    each = ", ".join(f"{share(part)} for n = {n}" for n, part in sorted(sure.items()) if part is not None)
    if each:
        yield (
            f"range seen: it holds {content} of all boards, whatever their distribution, with a confidence of {each}; "
            f"{confidence} would take {values_needed(CONTENT, CONFIDENCE)} boards."
        )
    if any(row.scale == "log" for row in rows):
        yield (
            "(log): the highest is more than ten times the lowest, or the interval would reach below a tenth of the "
            "lowest, so it is that of the logarithms; mean and sd are of the readings."
        )
    if any(
        row.interval and not row.interval.factor * float(row.moments.sd or 0) for row in rows if row.moments
    ):
        yield (
            "An interval without width: the readings are all the same, so the spread is below the resolution of the "
            "meter."
        )


def _factors(rows: Iterable[tuple[int, ToleranceInterval | ToleranceBound | None]]) -> str:
    factors = {n: found.factor for n, found in rows if found}
    return ", ".join(f"{factor:.4f} for n = {n}" for n, factor in sorted(factors.items()))


def share_plain(part: Decimal) -> str:
    """Write a share in percent without idle digits.

    >>> share_plain(Decimal("0.95"))
    '95 %'
    """
    return f"{plain_digits(part * 100)} %"


def remarks(view: UsualView) -> Iterator[str]:
    """Say what does not count and why, and what the figures leave out."""
    rows = view.learned.rows
    for row in rows:
        if row.open:
            sure = share(row.range_confidence or 0)
            yield (
                f"{row.manner.words()}: {counted(len(row.open), 'board')} read open, which is not a number, so "
                f"there is no interval; {share_plain(CONTENT)} of all boards read open or as much as the lowest "
                f"here, with a confidence of {sure}."
            )
        if row.unsettled:
            yield f"{row.manner.words()}: not counted because unsettled: {_ids(row.unsettled)}."
        if row.outliers:
            yield f"{row.manner.words()}: dropped as outliers (robust z above 3.5): {_listed(row.outliers)}."
    shared = _shared_boards(view.learned)
    if shared:
        yield (
            f"One board each: {'; '.join(shared)}. They count as separate readings, which overstates the confidence a "
            "little."
        )
    if _one_display(rows):
        yield (
            "Readings from one range of one meter share its systematic error: it shifts an interval as a whole, by up "
            "to U, and does not show in sd."
        )
    if view.learned.left_out:
        yield f"Not counted: {', '.join(f'{one.job} ({one.why})' for one in view.learned.left_out)}."
    empty = [row.manner.words() for row in rows if not (row.n or row.open or row.unsettled or row.outliers)]
    if empty:
        yield f"No readings yet: {'; '.join(empty)}."


def _one_display(rows: Sequence[Usual]) -> bool:
    return any(row.one_display for row in rows if row.n > 1)


def _ids(found: Sequence[Good]) -> str:
    return ", ".join(good.job for good in found)


def _listed(found: Sequence[Good]) -> str:
    return ", ".join(f"{good.job} ({good.corrected.value.text})" for good in found)


def _shared_boards(learned: DesignUsual) -> list[str]:
    by_serial: dict[str, list[str]] = {}
    for one in learned.jobs:
        if one.serial:
            by_serial.setdefault(serial_key(one.serial), []).append(one.id)
    return [" and ".join(ids) for ids in by_serial.values() if len(ids) > 1]
