"""The course of a sensor in a few figures, to be drawn in a line of text."""

from __future__ import annotations

from jobkit.reckon.statistics.series import Series, mean


def course_of(series: Series, parts: int) -> tuple[float | None, ...]:
    """Cut the time of a series into equal parts and give the mean of each; None for a part without values.

    >>> course_of(Series([0, 1, 2, 9], [20.0, 22.0, 30.0, 40.0]), 3)
    (24.0, None, 40.0)
    """
    start, width = (series.times[0], series.seconds / parts) if len(series.times) else (0.0, 0.0)
    sums: list[list[float]] = [[] for _ in range(parts)]
    for time, value in zip(series.times, series.values, strict=True):
        sums[min(int((time - start) / width), parts - 1) if width else 0].append(value)
    return tuple(mean(values) if values else None for values in sums)
