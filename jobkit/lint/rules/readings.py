"""Readings and the limits they are held to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design, PointWant
from jobkit.jobs.entries import Reading
from jobkit.jobs.finding import Place
from jobkit.jobs.job import Job
from jobkit.jobs.manner import manner
from jobkit.lint.registry import Found, FoundIn, own_look, rule
from jobkit.reckon.readings.limits import fits, suits
from jobkit.reckon.readings.of_job import doubtful_proofs, glimpses
from jobkit.units.kinds import KINDS
from jobkit.units.want import Want


@rule("error")
def want_mismatch(job: Job, _bench: Bench) -> Iterator[Found]:
    """A limit is in the unit of another kind of reading.

    What it finds: a reading, or a limit of a board file, whose `want` is in another unit than its kind is measured in.

    Why it matters: the reading cannot be held to the limit, so it has no verdict.

    How to mend: write the limit in the unit of the kind, or correct the kind.

    Example: `kind = "resistance"` with `want = ">= 11.4 V"`.
    """
    for reading in job.readings:
        if reading.want and reading.kind and not fits(reading.want, reading.kind):
            yield _mismatch((*reading.path, "want"), reading.point, reading.kind, reading.want)


@own_look("want-mismatch")
def want_mismatch_in_a_board_file(bench: Bench) -> Iterator[FoundIn]:
    """Look at the limits of the board files."""
    for file, point, limit in _limits(bench):
        if limit.want and limit.kind and not fits(limit.want, limit.kind):
            yield FoundIn(file, _mismatch((*limit.path, "want"), point, limit.kind, limit.want))


def _mismatch(place: Place, point: str | None, kind: str, want: Want) -> Found:
    unit = KINDS[kind].unit
    message = f'want "{want.text}" is in {want.unit}, and {kind} is in {unit}'
    return Found(place, point or "", message, f"write the limit in {unit}, or correct the kind")


@rule("error")
def want_empty(job: Job, _bench: Bench) -> Iterator[Found]:
    """A limit that no value can meet.

    What it finds: a reading, a trial's sensor or a limit of a board file whose `want` has its lower end above its upper
    end.

    Why it matters: every reading held to it is out.

    How to mend: swap the ends, or correct the one that is wrong; mind the prefix of the unit.

    Example: `want = "60 Ω .. 10 Ω"`.
    """
    for reading in job.readings:
        if reading.want and reading.want.empty:
            yield _empty((*reading.path, "want"), reading.point, reading.want)
    for trial in job.trials:
        for sensor, want in trial.want:
            if want.empty:
                yield _empty((*trial.path, "want", sensor), sensor, want)


@own_look("want-empty")
def want_empty_in_a_board_file(bench: Bench) -> Iterator[FoundIn]:
    """Look at the limits of the board files."""
    for file, point, limit in _limits(bench):
        if limit.want and limit.want.empty:
            yield FoundIn(file, _empty((*limit.path, "want"), point, limit.want))


def _empty(place: Place, about: str | None, want: Want) -> Found:
    message = f'no value is within "{want.text}": its lower end is above its upper end'
    return Found(place, about or "", message, "swap the ends, or correct one of them")


def _limits(bench: Bench) -> Iterator[tuple[str, str | None, PointWant]]:
    for design in bench.designs.values():
        for point in design.points:
            for limit in point.wants:
                yield design.path, point.name, limit


@rule("warning")
def want_missing(job: Job, bench: Bench) -> Iterator[Found]:
    """A proof reading has no limit to be held to.

    What it finds: a reading with `when = "proof"` that has no `want`, and for which the board file has none in the same
    manner (kind, state, to, red_on, removed).

    Why it matters: a figure without a limit proves nothing.

    How to mend: read the point in the state that the board file has a limit for; or add `want` to the reading, or the
    limit to the point in the board file (`jobkit usual` shows what good boards read there).

    Example: a proof reading of a point that the board file knows only in volts, taken in ohms.
    """
    design = bench.designs.get(job.board.design or "")
    if (job.board.design and design is None) or (design and design.unread):
        return  # the limits are where nobody could read them, and another finding says so
    for reading, want, *_ in glimpses(job, bench):
        if want is None and reading.when == "proof" and reading.kind:
            message = f"proof reading of {reading.point}, {reading.kind}, has no limit"
            yield Found((*reading.path, "want"), reading.point or "", message, _limit_it(reading, design))


def _limit_it(reading: Reading, design: Design | None) -> str:
    """Say how a reading comes by a limit: where the point has one in another state, by being read so."""
    point = design.point(reading.point) if design else None
    how = manner(reading)
    for limit in point.wants if point else ():
        if limit.state and suits(limit, how._replace(state=limit.state)):
            if reading.state is None:
                return f'say state = "{limit.state}" if it was read so, or add want'
            return f"read it {_AS[limit.state]}, as the limit in the board file asks, or add want"
    return "add want, or give the point a limit for this manner of reading in the board file"


_AS: Mapping[str, str] = {"cold": "cold", "warm": "warm", "powered": "under power"}


@rule("warning")
def reading_outside(job: Job, bench: Bench) -> Iterator[Found]:
    """A board is released on a reading outside its limit.

    What it finds: the last proof reading of a point, taken in one manner, lies outside its limit. An error once the
    board has been sent, a warning before. Earlier proof readings, and those on arrival or at work, may lie where they
    like.

    Why it matters: the proof readings are what the board is released on.

    How to mend: find out why and measure again; or correct the limit, if the limit was wrong.

    Example: a proof reading `value = "8.2 Ω"` with `want = "10 Ω .. 60 Ω"`.
    """
    for reading, want, taken, verdict in doubtful_proofs(job, bench):
        if want and not want.empty and taken and verdict and verdict.word == "out":
            yield Found(
                (*reading.path, "value"),
                reading.point or "",
                f"proof reading of {reading.point}, {taken.shown.text}, is outside its limit {want.text}",
                "find out why and measure again, or correct the limit",
                "error" if job.dates.sent or job.dates.collected else None,
            )
