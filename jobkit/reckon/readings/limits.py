"""Which limit a reading is held to, by which decision rule, and the verdict."""

from __future__ import annotations

from typing import NamedTuple

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design, Point, PointWant
from jobkit.jobs.entries import Reading
from jobkit.jobs.manner import Manner, manner
from jobkit.reckon.readings.meters import (
    RangeError,
    Taken,
    how_read,
    range_used,
    take,
    uncertain_by_less,
    without_lead,
)
from jobkit.units.kinds import KINDS
from jobkit.units.verdict import Decision, Verdict, judge
from jobkit.units.want import Want


class Judged(NamedTuple):
    """A reading, the limit it is held to, what it says of the board, and the verdict; None where there is none."""

    reading: Reading
    want: Want | None = None
    taken: Taken | None = None
    verdict: Verdict | None = None


class Glimpse(NamedTuple):
    """What of a reading can be told at the cost of no roots, which settles most of them.

    `want` is the limit it is held to; `amiss` tells that its meter cannot have taken it in the way it says; U is
    certainly below `less`, in the base unit, None where U is not known. One that is `clear` lies farther inside its
    limit than any uncertainty reaches.
    """

    reading: Reading
    want: Want | None = None
    amiss: bool = False
    less: float | None = None
    clear: bool = False


def want_of(reading: Reading, design: Design | None) -> Want | None:
    """Find the limit of a reading: its own, else the board file's for the same manner, else None."""
    if reading.want is not None:
        return reading.want
    known = _known_want(reading, design)
    return known.want if known else None


def decision_of(reading: Reading, design: Design | None, habit: Decision) -> Decision:
    """Find the decision rule of a reading: its own, else that of the board file's limit, else the bench's.

    The board file's rule goes with the board file's limit: a reading with a limit of its own leaves both. The coverage
    factor is always the bench's.
    """
    known = _known_want(reading, design) if reading.want is None else None
    rule = reading.decision or (known.decision if known else None)
    return habit._replace(rule=rule) if rule else habit


def fits(want: Want, kind: str | None) -> bool:
    """Tell whether a limit is in the unit of a kind of reading."""
    return kind is None or kind not in KINDS or want.open or want.unit == KINDS[kind].unit


def judge_reading(reading: Reading, bench: Bench, design: Design | None) -> Judged:
    """See a reading through its meter and hold it to its limit."""
    want = want_of(reading, design)
    if reading.value is None:
        return Judged(reading, want)
    settings = bench.settings
    taken = take(reading.value, how_read(reading), bench.meters, settings.decision.k)
    if want is None or not fits(want, reading.kind):
        return Judged(reading, want, taken)
    if not want.open and want.unit != reading.value.unit:  # a reading whose kind is missing or cannot be read
        return Judged(reading, want, taken)
    decision = decision_of(reading, design, settings.decision)
    return Judged(reading, want, taken, judge_taken(taken, want, decision))


def judge_taken(taken: Taken, want: Want, decision: Decision) -> Verdict:
    """Hold what a meter says to a limit; raises VerdictError where the two are in different units."""
    reach = taken.range.upto if taken.range else None
    return judge(taken.value, want, uncertainty=taken.uncertainty, decision=decision, reach=reach)


def glimpse(reading: Reading, bench: Bench, design: Design | None) -> Glimpse:
    """Look at a reading only as far as that costs no roots."""
    want, shown = want_of(reading, design), reading.value
    if shown is None:
        return Glimpse(reading, want)
    try:
        found, amiss = range_used(shown, how_read(reading), bench.meters), False
    except RangeError:
        found, amiss = None, True
    less = uncertain_by_less(shown, found, bench.settings.decision.k) if found else None
    if want is None or want.open or shown.open or want.unit != shown.unit:
        return Glimpse(reading, want, amiss, less)
    clear = _clearly_in(float(without_lead(shown, found)), want, less or 0.0)
    return Glimpse(reading, want, amiss, less, clear)


def _clearly_in(value: float, want: Want, guard: float) -> bool:
    """Tell whether a value is farther inside its limits than `guard`, with room for what floats lose."""
    guard += 1e-9 * (abs(value) + guard)
    low = want.low is None or value - guard > float(want.low.value)
    return low and (want.high is None or value + guard < float(want.high.value))


def word_of(reading: Reading, bench: Bench, design: Design | None) -> str | None:
    """Tell the word of a reading's verdict alone, None where there is none: quick for most, which are clear."""
    return word_at(glimpse(reading, bench, design), bench, design)


def word_at(one: Glimpse, bench: Bench, design: Design | None) -> str | None:
    """Tell the word of the verdict on a reading that was looked at before."""
    if one.clear:
        return "in"
    verdict = judge_reading(one.reading, bench, design).verdict
    return verdict.word if verdict else None


def manner_wanted(point: Point, want: PointWant) -> Manner:
    """Tell for readings of which manner a limit of the board file is meant; a state it leaves open is ""."""
    return Manner(
        point.name or "",
        want.kind or "",
        want.to or "",
        want.red_on or "",
        want.state or "",
        tuple(sorted(want.removed)),
    )


def suits(want: PointWant, how: Manner) -> bool:
    """Tell whether a limit of the board file is one for readings taken in this manner."""
    return (
        want.kind == how.kind
        and (want.state is None or want.state == how.state)
        and (want.to or "") == how.to
        and (want.red_on or "") == how.red_on
        and (tuple(sorted(want.removed)) if want.removed else ()) == how.removed
    )


def _known_want(reading: Reading, design: Design | None) -> PointWant | None:
    how = manner(reading)
    for want in design.limits(reading.point, reading.kind) if design else ():
        if suits(want, how):
            return want
    return None
