"""A whole walk: its start, its points, its proof steps and its end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from jobkit.cli.bench.asking import at_terminal
from jobkit.cli.call.streams import say
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.cli.bench.walking import Walk
    from jobkit.cli.bench.writing import Writing
    from jobkit.jobs.job import Job
    from jobkit.reckon.entry.reading_entry import Overrides


def walk_job(writing: Writing, job: Job, which: str, overrides: Overrides) -> None:
    """Walk a job; raises MisuseError where there is nothing to walk."""
    from jobkit.cli.bench.measuring import bench_context, walk_begun
    from jobkit.cli.bench.proving import walk_end, walk_steps
    from jobkit.cli.bench.walking import Ended, begin_walk, walk_points
    from jobkit.reckon.entry.walk import stops

    context = bench_context(writing, job)
    if not stops(context, which):
        raise MisuseError(
            f"{context.job.id} has no points to walk: {_why_none(context.job)}",
            "take readings with `jobkit read`",
        )
    writing.remember(walking=walk_begun(writing, context.job, which))
    one = begin_walk(writing, context, which, overrides)
    _tell_start(one)
    try:
        walk_points(one)
        if which == "proof":
            walk_steps(one)
            walk_end(one)
    except Ended:
        pass
    _tell_end(one)


def _why_none(job: Job) -> str:
    if job.board.design:
        return f"boards/{job.board.design}.toml names none"
    return "the job has no design"


def _tell_start(one: Walk) -> None:
    from jobkit.cli.bench.walking import KEYS
    from jobkit.pages.bench.confirmations import countdown

    if not at_terminal():
        return
    job = one.context.job
    say(f"{job.id}  {job.title or ''}: {one.stage}, by {one.context.by}")
    say(KEYS)
    until = one.context.warm_until
    if until:
        say(f"jobkit: the board is {countdown(until, until - one.context.now)}; w waits until it is cold")


def _tell_end(one: Walk) -> None:
    """Say what is left of the walk, and with which command it goes on."""
    from jobkit.pages.words import counted
    from jobkit.reckon.entry.walk import is_read, stops

    now = one.fresh()
    left = [stop for stop in stops(now.context, one.stage) if not is_read(stop, now.context.job, one.stage)]
    count = len(stops(now.context, one.stage))
    words = f"{one.stage}: {count - len(left)} of {counted(count, 'reading')} taken"
    say(f"{words}; `jobkit walk {one.stage}` continues with the rest" if left else words)
    if one.stage == "proof":
        say(_proof_words(now))


def _proof_words(walk: Walk) -> str:
    """Say what is left to prove; that nothing is only where the bench asks for something."""
    from jobkit.cli.bench.proving import lacking_words
    from jobkit.reckon.progress.release import release_steps

    if not release_steps(walk.context.job, walk.context.bench):
        return "bench.toml requires no checks of this board before shipping, so none is confirmed"
    lacks = lacking_words(walk)
    return f"still to prove before shipping: {lacks}" if lacks else "all required proofs are done"
