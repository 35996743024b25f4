"""Rules about readings and the limits they are held to."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import last_proofs
from jobkit.jobs.entries import Reading
from jobkit.jobs.job import Job
from jobkit.lint.registry import Found, rule
from jobkit.reckon.limits import fits, verdict_of, want_of
from jobkit.units.kinds import KINDS


@rule("error")
def want_mismatch(job: Job, _bench: Bench) -> Iterator[Found]:
    """Find a limit in the unit of another kind of reading.

    What it finds: a reading whose `want` is in another unit than its kind is measured in.

    Why it matters: the reading cannot be held to the limit, so it has no verdict.

    How to mend: write the limit in the unit of the kind, or correct the kind.

    Example: `kind = "resistance"` with `want = ">= 11.4 V"`.
    """
    for reading in job.readings:
        if reading.want and reading.kind and not fits(reading.want, reading.kind):
            unit = KINDS[reading.kind].unit
            message = f'want "{reading.want.text}" is in {reading.want.unit}, and {reading.kind} is in {unit}'
            yield Found(
                (*reading.path, "want"),
                reading.point or "",
                message,
                f"write the limit in {unit}, or correct the kind",
            )


@rule("warning")
def reading_outside(job: Job, bench: Bench) -> Iterator[Found]:
    """Find a board released on a reading outside its limit.

    What it finds: the last proof reading of a point, taken in one manner, lies outside its limit. An error once the
    board has been sent, a warning before. Earlier proof readings, and those on arrival or at work, may lie where they
    like.

    Why it matters: the proof readings are what the board is released on.

    How to mend: find out why and measure again; or correct the limit, if the limit was wrong.

    Example: a proof reading `value = "8.2 Ω"` with `want = "10 Ω .. 60 Ω"`.
    """
    design = bench.designs.get(job.board.design or "")
    for reading in last_proofs(job.readings):
        verdict = verdict_of(reading, bench, design)
        if verdict and verdict.word == "out":
            yield Found(
                (*reading.path, "value"),
                reading.point or "",
                _outside(reading, str(getattr(want_of(reading, design), "text", ""))),
                "find out why and measure again, or correct the limit",
                "error" if job.dates.sent else None,
            )


def _outside(reading: Reading, want: str) -> str:
    value = reading.value.text if reading.value else ""
    return f"proof reading of {reading.point}, {value}, is outside its limit {want}"
