"""The clock of the bench: started for one job, stopped with the work that it timed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from decimal import Decimal, InvalidOperation

from jobkit.book.schema.entry_keys import keys_of
from jobkit.book.write.journal import Journal, Note
from jobkit.book.write.session import Clock, as_kept
from jobkit.book.write.undo import UndoError, last_unit, plan
from jobkit.cli.bench.asking import agreed, ask, at_terminal
from jobkit.cli.bench.jot_names import known_to
from jobkit.cli.bench.jotting import write_entry
from jobkit.cli.bench.writing import Writing, job_meant, tell
from jobkit.jobs.job import Job
from jobkit.reckon.entry.jot import entry_of
from jobkit.reckon.entry.jot_kinds import Jot
from jobkit.units.errors import MisuseError

LONGEST = timedelta(hours=8)
"""A working day: a clock that ran longer was forgotten (common practice, no source)."""


def start_clock(writing: Writing, job: Job) -> None:
    """Start the clock for a job; raises MisuseError where one runs, or where it cannot be remembered."""
    running = _running(writing)
    if running:
        raise MisuseError(
            f"the clock has been running since {_time(running, writing.now)} for {running.job}",
            "stop it first, as in `jobkit jot stop clean`",
        )
    clock = Clock(job.id, writing.now.isoformat())
    also = {"clock": (None, clock)}
    pen = writing._replace(also=also).pen(f"{job.id} clock started at {writing.now:%H:%M}")
    pen.remember(lambda: writing.files.remember(clock=clock))
    tell(f"{job.id} clock started at {writing.now:%H:%M}")


def job_timed(writing: Writing, name: str | None, *, sure: bool) -> Job:
    """Load the job that the clock was started for; another one must be meant. Raises MisuseError."""
    clock = _running(writing)
    if clock is None:
        raise MisuseError("no clock is running", "start it with `jobkit jot start`")
    job = job_meant(writing, name or clock.job)
    if job.id != clock.job and not sure:
        since = _time(clock, writing.now)
        said = f"the clock was started for {clock.job} at {since}, not for {job.id}"
        if not at_terminal():
            raise MisuseError(
                said, f"`jobkit jot stop` writes to {clock.job}; say --yes if {job.id} is right"
            )
        if not agreed(f"{said}; write its minutes to {job.id} (y, Enter no): ", enter=False):
            raise MisuseError(
                "nothing is written, the clock goes on", f"`jobkit jot stop` writes to {clock.job}"
            )
    return job


def stop_clock(
    writing: Writing,
    job: Job,
    row: Jot,
    words: Sequence[str],
    options: Mapping[str, Sequence[str]],
    *,
    as_is: bool,
) -> None:
    """Write the work with its minutes, at least one, and stop the clock; 0 minutes write nothing."""
    clock = writing.session.clock
    assert clock is not None
    entry = entry_of(row, keys_of(row.path), words, options, known_to(writing, job))
    minutes = entry["minutes"] if "minutes" in entry else _minutes(clock, writing.now)
    if not minutes:
        writing.files.remember(clock=None)
        tell(f"{job.id} clock stopped, no work written")
        return
    noted = writing._replace(also={"clock": (clock, None)})
    since = {"at": datetime.fromisoformat(clock.since), "by": writing.by}
    write_entry(noted, job, row, {**since, **entry, "minutes": minutes}, as_is=as_is)
    writing.remember(clock=None)


def _running(writing: Writing) -> Clock | None:
    """Return the clock; one whose work is written already, by a call that was killed then, is stopped first."""
    clock = writing.session.clock
    unit = last_unit(Journal(writing.root).notes().values(), writing.hand) if clock else ()
    stopping = [note for note in unit if note.session.get("clock") == (as_kept(clock), None)]
    if stopping and _is_written(writing, stopping):
        writing.files.remember(clock=None)
        return None
    return clock


def _is_written(writing: Writing, unit: Sequence[Note]) -> bool:
    """Tell whether the work of a call that was killed is in the job; False where the file was changed since."""
    try:
        return not all(step.is_done for step in plan(writing.root, unit))
    except UndoError:
        return False


def _minutes(clock: Clock, now: datetime) -> Decimal | int:
    """Tell how long the clock ran; where it was forgotten, ask. Raises MisuseError."""
    ran = now - datetime.fromisoformat(clock.since)
    minutes = round(ran.total_seconds() / 60)
    if timedelta() <= ran <= LONGEST and now.date().isoformat() == clock.since[:10]:
        return max(1, minutes)
    said = f"the clock has been running since {_time(clock, now)}, that is {minutes} minutes"
    if not at_terminal():
        raise MisuseError(said, "say how many the work took, as in `jobkit jot stop clean --minutes 45`")
    while (typed := ask(f"{said}; how many minutes did the work take (0 writes nothing)? ")) is not None:
        try:
            taken = Decimal(typed.replace(",", "."))
        except InvalidOperation:
            continue
        if taken.is_finite() and taken >= 0:
            return taken
    raise MisuseError("nothing is written, the clock goes on", "stop it with --minutes")


def _time(clock: Clock, now: datetime) -> str:
    """Say since when a clock runs: the hour, and the day where it is another one."""
    since = datetime.fromisoformat(clock.since)
    return f"{since:%H:%M}" if since.date() == now.date() else f"{since:%Y-%m-%d %H:%M}"
