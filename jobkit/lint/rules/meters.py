"""Meters: whether they suit what was read with them, and readings unlike others of their kind."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job
from jobkit.lint.protocols import Jobs
from jobkit.lint.registry import Found, book_rule, rule
from jobkit.reckon.readings.limits import Judged, fits, judge_reading
from jobkit.reckon.readings.meters import correct_lead, method_of, overdue, value_words
from jobkit.reckon.readings.odd_one_out import ALIKE_ANYWAY, STAGES, odd_in_words, reading_groups
from jobkit.reckon.readings.of_job import doubtful_proofs, proof_quick_verdicts, quick_verdicts
from jobkit.units.conformity import share_of_tolerance
from jobkit.units.exact import EXACT, ROOT
from jobkit.units.limit import Limit
from jobkit.units.quantity import plain, show
from jobkit.units.written import told_apart

if TYPE_CHECKING:
    from jobkit.reckon.readings.unusual import GoodBoards, Unusual

_GOOD = (
    "id",
    "serial",
    "design",
    "outcome",
    "known_good",
    "finished",
    "proof",
    "comeback_of",
    "comeback_found",
)
"""The facts that tell which boards are good and what they read."""


def _proved_and_here(job: Facts, _bench: Bench) -> bool:
    return bool(job.proof and job.design and not (job.sent or job.collected))


@rule("warning")
def meter_overdue(job: Job, bench: Bench) -> Iterator[Found]:
    """A reading was taken with a meter whose calibration had expired.

    What it finds: a reading later than `calibrated` + `every` of its meter, that last day included. Readings before the
    last calibration are not checked: meters.toml does not have the calibration before it.

    Why it matters: the meter may have drifted, and every verdict depends on its accuracy.

    How to fix: have the meter calibrated, enter the day in meters.toml, and measure again. If it was checked against a
    reference the same day, add a waiver with the reason.

    Example: a reading of 2026-10-22 with a meter `calibrated = 2025-10-01`, `every = "P1Y"`.
    """
    for reading in job.readings:
        meter = bench.meters.get(reading.meter or "")
        if meter and reading.at and overdue(meter, reading.at.date()):
            message = f"{meter.name} was due for calibration by {meter.calibrated_until}, before this reading"
            mend = "have it calibrated and measure again, or waive this with how it was checked"
            yield Found((*reading.path, "meter"), reading.point or "", message, mend)


@rule("warning")
def meter_range(job: Job, bench: Bench) -> Iterator[Found]:
    """A meter cannot show this reading.

    What it finds: a value above every range of its meter, or above the range it names; a range the meter does not have;
    a kind of reading the meter has no range for; `four_wire` on a meter without four wires, or missing on a meter that
    only has four-wire ranges. A meter without stated ranges is not checked.

    Why it matters: the value, the meter or the unit is mistyped; and without a range there is no uncertainty.

    How to fix: correct what is wrong, or complete the ranges in meters.toml.

    Example: `value = "3.2 kΩ"` with `range = "220 Ω"`.
    """
    for one in quick_verdicts(job, bench):
        reading = one.reading
        shown = reading.shown
        if one.range_error and shown and reading.kind:
            corrected = correct_lead(shown, method_of(reading), bench.meters)
            key = "range" if reading.range else "meter"
            yield Found(
                (*reading.path, key), reading.point or "", corrected.uncertainty_missing, corrected.mend
            )


@rule("warning")
def reading_near(job: Job, bench: Bench) -> Iterator[Found]:
    """A board is released on a reading too near to its limit for the meter.

    What it finds: the last proof reading of a point, taken in one way, is `near`: within the meter's uncertainty of its
    limit, or open on a range that ends before the limit. A reading with a `note` is not reported.

    Why it matters: such a reading may be outside its limit.

    How to fix: measure again with a better meter or on a finer range; or say in `note` why the reading is good enough.

    Example: 0.31 Ω with an uncertainty of 0.13 Ω against `0.25 Ω .. 1.2 Ω`.
    """
    for judged in doubtful_proofs(job, bench):
        reading = judged.reading
        if not reading.note and judged.verdict and judged.verdict.word == "near":
            mend = "measure it with a better meter, or give the reason for accepting it in note"
            yield Found((*reading.path, "value"), reading.point or "", _near(judged), mend)


def _near(judged: Judged) -> str:
    reading, verdict, corrected, limit = judged.reading, judged.verdict, judged.corrected, judged.limit
    assert verdict is not None
    assert corrected is not None
    assert limit is not None
    what = f"proof reading of {reading.point}, {value_words(corrected)}"
    if verdict.margin is None or verdict.uncertainty is None or verdict.guard is None:
        return f"{what}, cannot be told from its limit {limit.text}: {verdict.rule.removeprefix('plain, ')}"
    distance, guard = told_apart(verdict.margin.value.copy_abs(), verdict.guard.value, limit.unit)
    sure = f"{100 * (verdict.inside or 0):.0f} % sure to be inside"
    band = "U" if verdict.guard == verdict.uncertainty else "the guard band"
    which = f"which {corrected.meter} cannot tell"
    return f"{what}, is {distance} from its limit {limit.text}, {which}: {band} = {guard}; {sure}"


@rule("warning")
def meter_too_coarse(job: Job, bench: Bench) -> Iterator[Found]:
    """A meter is too coarse for the limits.

    What it finds: the last proof reading of a point, taken in one way, with limits on both sides and an expanded
    uncertainty U of more than a third of the distance between them (common practice, no source).

    Why it matters: with guarded limits hardly any board could pass; with plain limits good and bad boards are confused.

    How to fix: read it with a finer meter or on a finer range; or widen the limits, if they are too tight.

    Example: U = 0.4 Ω where the limits are 0.9 Ω apart: 44 %.
    """
    design = bench.designs.get(job.board.design or "")
    for reading, limit, _, bound, _ in proof_quick_verdicts(job, bench):
        if bound is None or limit is None or limit.low is None or limit.high is None:
            continue
        # Far finer than the limits are apart? Then no more need be worked out.
        may_be = 3.001 * bound > float(limit.high.value) - float(limit.low.value)
        if may_be and not limit.empty and fits(limit, reading.kind):
            yield from _too_coarse(judge_reading(reading, bench, design), limit)


def _too_coarse(judged: Judged, limit: Limit) -> Iterator[Found]:
    reading, expanded = judged.reading, judged.corrected and judged.corrected.uncertainty
    share = share_of_tolerance(limit, expanded) if expanded else None
    if expanded is None or share is None or 3 * share <= 1:
        return
    assert limit.low is not None
    assert limit.high is not None
    width = EXACT.subtract(limit.high.value, limit.low.value)
    place, about = (*reading.path, "meter"), reading.point or ""
    if not width:
        message = f"{limit.text} leaves no room for the uncertainty of {reading.meter}, U = {expanded.text}"
        yield Found(place, about, message, "give the limit a tolerance")
        return
    part, apart = f"{float(100 * share):.0f} %", plain(width, limit.unit).text
    message = (
        f"U = {expanded.text} of {reading.meter} is {part} of the {apart} between the limits {limit.text}"
    )
    finest = show(ROOT.divide(width, Decimal(3)), limit.unit, 2)
    yield Found(
        place, about, message, f"use a meter with U of {finest} or less, a third; or widen the limits"
    )


@rule("note")
def odd_one_out(job: Job, bench: Bench) -> Iterator[Found]:
    """One of several readings that should agree does not.

    What it finds: among at least three readings with one `group` (their own, or their point's in the board file), taken
    at one stage in one manner: those with a robust z-score beyond 3.5, or open where most are not, or the reverse; from
    six readings on it says whether Grubbs' test agrees. On one range of one meter the common error cancels, so the
    smallest difference that counts is its last digit. Readings on arrival and at work are compared until the job is
    finished, proof readings always.

    Why it matters: gates, drivers and sense lines of one kind read the same on a good board; the one that differs leads
    to the fault. It is a hint, not a proof, and only for lines that are separate: rails joined through coils read the
    same whatever is broken.

    How to fix: measure it again; then look at what is special to this line.

    Example: five phase gates at 0.552 V, one at 0.381 V.
    """
    design = bench.designs.get(job.board.design or "")
    for group in reading_groups(job, bench, design, ("proof",) if job.dates.finished else STAGES):
        for odd in group.odd:
            mend = f"measure it again, and check what differs at this line. {ALIKE_ANYWAY}"
            yield Found((*odd.reading.path, "value"), odd.reading.point or "", odd_in_words(odd, group), mend)


@book_rule("note", _proved_and_here, (*_GOOD, "sent", "collected"), whole=True)
def reading_unusual(job: Facts, jobs: Jobs, bench: Bench) -> Iterator[Found]:
    """A proof reading is unusual for good boards of the design.

    What it finds: the last proof reading of a point, taken in one way, outside both the tolerance interval and the
    range of what other good boards of the design read (`jobkit usual`), by more than the meters can tell. Only while
    the board is still here, and only in a check of the whole book.

    Why it matters: a reading can be within a wide limit and still differ from every good board.

    How to fix: measure again. If it stays the same, find out why, or write the reason down.

    Example: VMEM at 31 Ω, within `10 Ω .. 60 Ω`, where 19 boards read 22 to 25 Ω.
    """
    # A check of single jobs, as before a commit, need not wait for it.
    from jobkit.reckon.readings.unusual import unusual_proofs  # noqa: PLC0415

    for unusual in unusual_proofs(job, jobs.once(_good_boards, bench), bench):
        proved = unusual.proved
        theirs = f"`jobkit usual {job.design} --point {proved.point}` shows theirs"
        mend = f"measure it again, and find out why; {theirs}"
        yield Found(("reading", proved.row, "value"), proved.point, _unusual(unusual), mend)


def _good_boards(facts: tuple[Facts, ...], _bench: Bench) -> GoodBoards:
    from jobkit.reckon.readings.unusual import GoodBoards  # noqa: PLC0415 - as above

    return GoodBoards(facts)


def _unusual(unusual: Unusual) -> str:
    row, proved = unusual.against.usual, unusual.proved
    what = f"proof reading of {proved.point}, {value_words(unusual.corrected)}, is {unusual.against.stands} against"
    boards = row.n + len(row.open)
    if row.interval is None or row.moments is None:
        return f"{what} what {boards} good boards have: OL"
    low, high = min(row.interval.low, row.moments.lowest), max(row.interval.high, row.moments.highest)
    return f"{what} what {boards} good boards have: {show(low, row.unit, 4)} to {show(high, row.unit, 4)}"
