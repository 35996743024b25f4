"""Which limit a reading is checked against, by which decision rule, and the verdict."""

from __future__ import annotations

from math import inf

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design, Point, PointLimit
from jobkit.jobs.entries import Reading
from jobkit.jobs.manner import Manner, manner
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.readings.meters import (
    CorrectedReading,
    RangeError,
    correct_reading,
    method_of,
    range_used,
    uncertainty_bound,
    without_lead,
)
from jobkit.units.kinds import KINDS
from jobkit.units.limit import Limit
from jobkit.units.verdict import Decision, Verdict, judge


class Judged(NamedTuple):
    """A reading, its limit, what it says of the board, and the verdict; None where there is none."""

    reading: Reading
    limit: Limit | None = None
    corrected: CorrectedReading | None = None
    verdict: Verdict | None = None


class QuickVerdict(NamedTuple):
    """What of a reading can be told at the cost of no roots, which settles most of them.

    `limit` is the limit it is checked against; `range_error` is true where its meter cannot show it in the way
    the reading says. U is certainly below `uncertainty_bound`, in the base unit; None where U is not known. A reading
    is `clearly_in` where it is farther inside its limit than any uncertainty reaches.
    """

    reading: Reading
    limit: Limit | None = None
    range_error: bool = False
    uncertainty_bound: float | None = None
    clearly_in: bool = False


def limit_of(reading: Reading, design: Design | None) -> Limit | None:
    """Find the limit of a reading: its own, else the board file's for the same manner, else None."""
    if reading.limit is not None:
        return reading.limit
    known = _known_limit(reading, design)
    return known.limit if known else None


def decision_of(reading: Reading, design: Design | None, habit: Decision) -> Decision:
    """Find the decision rule of a reading: its own, else that of the board file's limit, else the bench's.

    The board file's rule goes with the board file's limit: a reading with a limit of its own leaves both. Coverage and
    guard factor are always the bench's.
    """
    known = _known_limit(reading, design) if reading.limit is None else None
    rule = reading.decision or (known.decision if known else None)
    return habit._replace(rule=rule) if rule else habit


def fits(limit: Limit, kind: str | None) -> bool:
    """Tell whether a limit is in the unit of a kind of reading."""
    return kind is None or kind not in KINDS or limit.open or limit.unit == KINDS[kind].unit


def judge_reading(reading: Reading, bench: Bench, design: Design | None) -> Judged:
    """See a reading through its meter and check it against its limit."""
    limit = limit_of(reading, design)
    shown = reading.shown
    if shown is None:
        return Judged(reading, limit)
    settings = bench.settings
    corrected = correct_reading(
        shown, method_of(reading), bench.meters, settings.decision.k, reading.values if reading.again else ()
    )
    if limit is None or not fits(limit, reading.kind):
        return Judged(reading, limit, corrected)
    # A reading whose kind is missing or cannot be read may be in another unit than its limit.
    if not limit.open and limit.unit != shown.unit:
        return Judged(reading, limit, corrected)
    decision = decision_of(reading, design, settings.decision)
    return Judged(reading, limit, corrected, judge_corrected(corrected, limit, decision))


def judge_corrected(corrected: CorrectedReading, limit: Limit, decision: Decision) -> Verdict:
    """Check what a meter says against a limit; raises VerdictError where the two are in different units."""
    reach = corrected.range.upto if corrected.range else None
    decision = decision._replace(k=corrected.k) if corrected.n > 1 else decision
    return judge(corrected.value, limit, uncertainty=corrected.uncertainty, decision=decision, reach=reach)


def screen_reading(reading: Reading, bench: Bench, design: Design | None) -> QuickVerdict:
    """Look at a reading only as far as that costs no roots."""
    limit, shown = limit_of(reading, design), reading.shown
    if shown is None:
        return QuickVerdict(reading, limit)
    try:
        found, range_error = range_used(shown, method_of(reading), bench.meters), False
    except RangeError:
        found, range_error = None, True
    bound = uncertainty_bound(shown, found, bench.settings.decision.k) if found else None
    if reading.again and bound is not None:
        bound = inf  # how far they spread is not looked at here
    if limit is None or limit.open or shown.open or limit.unit != shown.unit:
        return QuickVerdict(reading, limit, range_error, bound)
    guard = (bound or 0.0) * float(bench.settings.decision.r)
    clearly_in = _clearly_in(float(without_lead(shown, found)), limit, guard)
    return QuickVerdict(reading, limit, range_error, bound, clearly_in)


def _clearly_in(value: float, limit: Limit, guard: float) -> bool:
    """Tell whether a value is farther inside its limits than `guard`, with room for what floats lose."""
    guard += 1e-9 * (abs(value) + guard)
    low = limit.low is None or value - guard > float(limit.low.value)
    return low and (limit.high is None or value + guard < float(limit.high.value))


def verdict_word(reading: Reading, bench: Bench, design: Design | None) -> str | None:
    """Tell the word of a reading's verdict alone, None where there is none: quick for most, which are clear."""
    return known_verdict_word(screen_reading(reading, bench, design), bench, design)


def known_verdict_word(one: QuickVerdict, bench: Bench, design: Design | None) -> str | None:
    """Tell the word of the verdict on a reading that was looked at before."""
    if one.clearly_in:
        return "in"
    verdict = judge_reading(one.reading, bench, design).verdict
    return verdict.word if verdict else None


def manner_of_limit(point: Point, limit: PointLimit) -> Manner:
    """Tell for readings of which manner a limit of the board file is meant; a state it leaves open is ""."""
    return Manner(
        point.name or "",
        limit.kind or "",
        limit.to or "",
        limit.red_on or "",
        limit.state or "",
        tuple(sorted(limit.removed)),
    )


def suits(limit: PointLimit, how: Manner) -> bool:
    """Tell whether a limit of the board file is one for readings taken in this manner."""
    return (
        limit.kind == how.kind
        and (limit.state is None or limit.state == how.state)
        and (limit.to or "") == how.to
        and (limit.red_on or "") == how.red_on
        and (tuple(sorted(limit.removed)) if limit.removed else ()) == how.removed
    )


def _known_limit(reading: Reading, design: Design | None) -> PointLimit | None:
    how = manner(reading)
    for limit in design.limits(reading.point, reading.kind) if design else ():
        if suits(limit, how):
            return limit
    return None
