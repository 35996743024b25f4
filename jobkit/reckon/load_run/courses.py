"""The courses of the sensors in the logs of trials, to be drawn; most answers need only what was made of them."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from functools import cache
from posixpath import normpath

from jobkit.book.logs.trouble import LogTrouble
from jobkit.jobs.bench import Bench
from jobkit.jobs.job import Job
from jobkit.jobs.job_folder import attachment_path
from jobkit.jobs.load_log import LoadLog
from jobkit.jobs.settings import LogHabit
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.load_run.run import series_of
from jobkit.reckon.load_run.trial import Evidence
from jobkit.reckon.statistics.series import Series


class Course(NamedTuple):
    """What one sensor showed over time, in its unit; gaps are left out."""

    name: str
    unit: str
    series: Series


def courses(evidence: Evidence, job: Job, bench: Bench) -> Iterator[Course]:
    """Yield the course of each sensor in the log of a trial; none where the log cannot be used."""
    if evidence.run is None or not evidence.trial.log:
        return
    path = normpath(attachment_path(job.path, evidence.trial.log))
    log = bench.contents.made_of(path, _reader(bench.settings.logs.get("load", LogHabit())))
    if isinstance(log, LoadLog):
        for column in log.columns:
            yield Course(column.name, column.unit, series_of(log, column))


@cache
def _reader(habit: LogHabit) -> Callable[[bytes], LoadLog | LogTrouble]:
    """Return the one function that reads logs of a habit, so that what it made of a file is remembered."""
    # Most jobs name no log.
    from jobkit.book.logs.kept import kept_options  # noqa: PLC0415
    from jobkit.book.logs.load import read_load_log  # noqa: PLC0415

    options = kept_options(habit)
    return lambda content: read_load_log(io.BytesIO(content), options)
