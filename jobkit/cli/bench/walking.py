"""The walk: one question after the other, each value on the disk before the next is asked.

At a terminal a slip is said and the question asked again. From a pipe a line that cannot be read ends the walk: the
values behind it would go to the wrong points.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from functools import partial

from jobkit.book.edit import EditError
from jobkit.book.write.entry import append_apart, correct, reading_entry
from jobkit.cli.bench.asking import ask, at_terminal
from jobkit.cli.bench.cooling import wait_until_cold
from jobkit.cli.bench.measuring import tell_reading
from jobkit.cli.bench.writing import Writing, load_meant, put, reading_named, tell
from jobkit.cli.call.boards import usual_for
from jobkit.cli.call.clock import now
from jobkit.cli.call.rollup import open_at
from jobkit.cli.call.streams import say
from jobkit.jobs.cautions import BEFORE_POWER
from jobkit.jobs.entries import Reading
from jobkit.jobs.finding import Finding
from jobkit.jobs.manner import Manner
from jobkit.named_tuple import NamedTuple
from jobkit.pages.bench.confirmations import countdown, stop_help, stop_question, usual_line
from jobkit.pages.cautions import caution_lines
from jobkit.reckon.entry.reading_entry import BenchContext, Overrides
from jobkit.reckon.entry.walk import WalkStop, is_read, reading_at, stops
from jobkit.reckon.progress.release import release_steps
from jobkit.reckon.readings.against_usual import Against, stands
from jobkit.reckon.readings.limits import limit_of
from jobkit.reckon.readings.meters import correct_reading, method_of
from jobkit.reckon.readings.usual import Usual
from jobkit.units.errors import MisuseError
from jobkit.units.quantity import Quantity

SKIP, SKIP_REST, OPEN, BACK, HELP, WAIT = "-", "--", "o", "b", "?", "w"

KEYS = (
    "value and Enter; - skip, -- skip the rest of this part, o open, b back, ? where, w wait until cold; "
    "Ctrl-D stops; continue later"
)


class Ended(Exception):  # noqa: N818 - no error: whoever types, or the pipe, has stopped
    """No more answers come."""


class Walk(NamedTuple):
    """A walk under way: of which stage, what is said of all its readings, and what is usual."""

    writing: Writing
    context: BenchContext
    stage: str
    overrides: Overrides
    usual: Callable[[Manner], Usual | None]

    def fresh(self) -> Walk:
        """Look at the clock and the job again: others may have written meanwhile."""
        moment = now(self.writing.book.bench.settings)
        job = load_meant(self.writing, self.context.job.path)
        return self._replace(
            writing=self.writing._replace(now=moment), context=self.context._replace(job=job, now=moment)
        )


def begin_walk(writing: Writing, context: BenchContext, stage: str, overrides: Overrides) -> Walk:
    """Learn what is usual on this design, and begin."""
    job = context.job
    usual = usual_for(open_at(writing.root, None), job, date.max)
    return Walk(writing, context, stage, overrides._replace(stage=stage), usual)


def walk_points(walk: Walk) -> int:
    """Ask for every reading that is not there yet; give how many were skipped. Raises Ended."""
    todo = [
        stop for stop in stops(walk.context, walk.stage) if not is_read(stop, walk.context.job, walk.stage)
    ]
    cold, powered = ([stop for stop in todo if stop.powered is power] for power in (False, True))
    skipped = _part(walk, cold)
    if powered:
        skipped += _part(walk, powered) if may_have_power(walk.fresh()) else len(powered)
    return skipped


def may_have_power(walk: Walk) -> bool:
    """Say what power needs; where a resistance speaks against it, say so and leave out what needs power.

    A pipe ends there: its next lines are meant for what is left out. Raises Ended.
    """
    steps = release_steps(walk.context.job, walk.context.bench)
    against = [step for step in steps if step.shown_by == "reading" and not step.done]
    for step in against:
        say(f"jobkit: NO POWER YET: {step.name}: {step.lacks}")
    if against:
        say(
            "what needs power is left out; measure these points cold first, then continue with `jobkit walk proof`"
        )
        if not at_terminal():
            raise Ended
    elif at_terminal():
        say("\n".join(["Power from here on.", *caution_lines(BEFORE_POWER)]))
    return not against


def _part(walk: Walk, todo: Sequence[WalkStop]) -> int:
    """Go through some stops, forward and back; give how many were left without a reading."""
    taken: dict[int, Reading] = {}
    at = 0
    while at < len(todo):
        walk = walk.fresh()
        stop = _as_it_is_now(todo[at], walk)
        typed = _answer(stop_question(at + 1, len(todo), stop, _limit(walk, stop), _warm(walk)))
        if typed == SKIP_REST:
            break
        if typed == BACK:
            at = max(at - 1, 0)
        elif typed == HELP:
            say("\n".join(stop_help(stop, walk.context.design, _limit(walk, stop), _usual(walk, stop))))
        elif typed == SKIP:
            at += 1
        elif typed == WAIT and at_terminal():
            _wait(walk)
        elif typed and (reading := _taken(walk, stop, typed, taken.get(at))):
            taken[at] = reading
            at += 1
    return len(todo) - len(taken)


def _as_it_is_now(stop: WalkStop, walk: Walk) -> WalkStop:
    """Ask for a cold reading as soon as the board has cooled down."""
    return stop._replace(state="cold") if stop.state == "warm" and not walk.context.warm else stop


def _warm(walk: Walk) -> str:
    """Say until when the board is warm, "" where it is cold."""
    until = walk.context.warm_until
    return countdown(until, until - walk.context.now) if until else ""


def _wait(walk: Walk) -> None:
    """Count down until the board is cold."""
    until = walk.context.warm_until
    if until is None:
        say("the board is cold")
    else:
        wait_until_cold(until, partial(now, walk.writing.book.bench.settings))


def _answer(question: str) -> str:
    typed = ask(question)
    if typed is None:
        raise Ended
    return typed


def _taken(walk: Walk, stop: WalkStop, typed: str, before: Reading | None) -> Reading | None:
    """Write a reading; None where it could not be, and the question is to be asked again."""
    try:
        reading = reading_at(stop, typed, walk.overrides, walk.context)
        found = _write(walk, reading, before)
    except MisuseError as misuse:
        if not at_terminal():
            raise
        say(f"jobkit: {misuse}" if any(map(str.isdigit, typed)) else f'"{typed}" is not a value: {KEYS}')
        return None
    tell_reading(reading, walk.context, _against(walk, stop, reading))
    tell(found=found)
    return reading


def _write(walk: Walk, reading: Reading, before: Reading | None) -> tuple[Finding, ...]:
    """Write a reading; where one was gone back to, in its place, as long as that is untouched."""
    edit: Callable[[str], str] = partial(append_apart, table="reading", entry=reading_entry(reading))
    if before is not None:
        edit = partial(_corrected, was=before, reading=reading)
    return put(walk.writing, walk.context.job.path, [edit], reading_named(reading))


def _corrected(text: str, was: Reading, reading: Reading) -> str:
    try:
        return correct(text, "reading", reading_entry(was), reading_entry(reading))
    except EditError:
        return append_apart(text, "reading", reading_entry(reading))


def _limit(walk: Walk, stop: WalkStop) -> str:
    limit = limit_of(_blank(stop), walk.context.design)
    return limit.text if limit else ""


def _blank(stop: WalkStop) -> Reading:
    return Reading(
        (),
        point=stop.point,
        kind=stop.kind,
        state=stop.state,
        to=stop.to,
        red_on=stop.red_on,
        removed=stop.removed,
    )


def _usual(walk: Walk, stop: WalkStop) -> Against | None:
    row = walk.usual(stop.manner)
    return Against(row, "") if row else None


def _against(walk: Walk, stop: WalkStop, reading: Reading) -> str:
    """Say how a reading compares with what is usual, "" where nothing is known."""
    row = walk.usual(stop.manner)
    if row is None or not isinstance(reading.shown, Quantity) or stop.state != row.manner.state:
        return ""  # a warm board reads otherwise than the cold ones before it
    bench = walk.context.bench
    corrected = correct_reading(reading.shown, method_of(reading), bench.meters, Decimal(1))
    return usual_line(Against(row, stands(corrected, row, bench.settings.decision.k)))
