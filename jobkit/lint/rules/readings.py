"""Readings and their limits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design, PointLimit
from jobkit.jobs.entries import Reading
from jobkit.jobs.finding import Place
from jobkit.jobs.job import Job
from jobkit.jobs.manner import manner
from jobkit.lint.registry import Found, FoundIn, own_look, rule
from jobkit.reckon.readings.limits import fits, suits
from jobkit.reckon.readings.meters import value_words
from jobkit.reckon.readings.of_job import doubtful_proofs, quick_verdicts
from jobkit.units.kinds import KINDS
from jobkit.units.limit import Limit


@rule("error")
def limit_mismatch(job: Job, _bench: Bench) -> Iterator[Found]:
    """A limit has the unit of another kind of reading.

    What it finds: a reading, or a limit of a board file, whose `limit` is in another unit than its kind is measured in.

    Why it matters: the reading cannot be compared with the limit, so it has no verdict.

    How to fix: write the limit in the unit of the kind, or correct the kind.

    Example: `kind = "resistance"` with `limit = ">= 11.4 V"`.
    """
    for reading in job.readings:
        if reading.limit and reading.kind and not fits(reading.limit, reading.kind):
            yield _mismatch((*reading.path, "limit"), reading.point, reading.kind, reading.limit)


@own_look("limit-mismatch")
def limit_mismatch_in_a_board_file(bench: Bench) -> Iterator[FoundIn]:
    """Look at the limits of the board files."""
    for file, point, limit in _limits(bench):
        if limit.limit and limit.kind and not fits(limit.limit, limit.kind):
            yield FoundIn(file, _mismatch((*limit.path, "limit"), point, limit.kind, limit.limit))


def _mismatch(place: Place, point: str | None, kind: str, limit: Limit) -> Found:
    unit = KINDS[kind].unit
    message = f'limit "{limit.text}" is in {limit.unit}, and {kind} is in {unit}'
    return Found(place, point or "", message, f"write the limit in {unit}, or correct the kind")


@rule("error")
def limit_empty(job: Job, _bench: Bench) -> Iterator[Found]:
    """No value can be within a limit.

    What it finds: a reading, a trial's sensor or a limit of a board file whose `limit` has its lower end above its
    upper end.

    Why it matters: every reading is outside it.

    How to fix: swap the ends, or correct the one that is wrong; mind the prefix of the unit.

    Example: `limit = "60 Ω .. 10 Ω"`.
    """
    for reading in job.readings:
        if reading.limit and reading.limit.empty:
            yield _empty((*reading.path, "limit"), reading.point, reading.limit)
    for trial in job.trials:
        for sensor, limit in trial.limit:
            if limit.empty:
                yield _empty((*trial.path, "limit", sensor), sensor, limit)


@own_look("limit-empty")
def limit_empty_in_a_board_file(bench: Bench) -> Iterator[FoundIn]:
    """Look at the limits of the board files."""
    for file, point, limit in _limits(bench):
        if limit.limit and limit.limit.empty:
            yield FoundIn(file, _empty((*limit.path, "limit"), point, limit.limit))


def _empty(place: Place, about: str | None, limit: Limit) -> Found:
    message = f'no value is within "{limit.text}": its lower end is above its upper end'
    return Found(place, about or "", message, "swap the ends, or correct one of them")


def _limits(bench: Bench) -> Iterator[tuple[str, str | None, PointLimit]]:
    for design in bench.designs.values():
        for point in design.points:
            for limit in point.limits:
                yield design.path, point.name, limit


@rule("warning")
def limit_missing(job: Job, bench: Bench) -> Iterator[Found]:
    """A proof reading has no limit.

    What it finds: a reading with `stage = "proof"` that has no `limit`, and for which the board file has no limit of
    the same kind, state, `to`, `red_on` and `removed`.

    Why it matters: a value without a limit proves nothing.

    How to fix: read the point in the state that the board file has a limit for; or add `limit` to the reading, or the
    limit to the point in the board file (`jobkit usual` shows what good boards read there).

    Example: a proof reading in ohms of a point whose limits are in volts.
    """
    design = bench.designs.get(job.board.design or "")
    if (job.board.design and design is None) or (design and design.unread):
        return  # the limits are where nobody could read them, and another finding says so
    for reading, limit, *_ in quick_verdicts(job, bench):
        if limit is None and reading.stage == "proof" and reading.kind:
            message = f"proof reading of {reading.point}, {reading.kind}, has no limit"
            yield Found((*reading.path, "limit"), reading.point or "", message, _limit_it(reading, design))


def _limit_it(reading: Reading, design: Design | None) -> str:
    """Say how a reading comes by a limit: where the point has one in another state, by being read so."""
    point = design.point(reading.point) if design else None
    how = manner(reading)
    for limit in point.limits if point else ():
        if limit.state and suits(limit, how._replace(state=limit.state)):
            if reading.state is None:
                return f'say state = "{limit.state}" if it was read so, or add limit'
            return f"read it {_AS[limit.state]}, as the limit in the board file asks, or add limit"
    return "add limit, or give the point a limit for this manner of reading in the board file"


_AS: Mapping[str, str] = {"cold": "cold", "warm": "warm", "powered": "under power"}


@rule("warning")
def reading_outside(job: Job, bench: Bench) -> Iterator[Found]:
    """A board is released with a reading outside its limit.

    What it finds: the last proof reading of a point, taken in one way, is outside its limit. An error once the board
    has been sent, a warning before. Earlier proof readings, and readings on arrival or at work, are not checked.

    Why it matters: the board is released because of its proof readings.

    How to fix: find out why and measure again; or correct the limit, if the limit was wrong.

    Example: a proof reading `value = "8.2 Ω"` with `limit = "10 Ω .. 60 Ω"`.
    """
    for reading, limit, corrected, verdict in doubtful_proofs(job, bench):
        if limit and not limit.empty and corrected and verdict and verdict.word == "out":
            yield Found(
                (*reading.path, "value"),
                reading.point or "",
                f"proof reading of {reading.point}, {value_words(corrected)}, is outside its limit {limit.text}",
                "find out why and measure again, or correct the limit",
                "error" if job.dates.sent or job.dates.collected else None,
            )
