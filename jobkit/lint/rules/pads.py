"""Repaired pads and balls: what a pad reads, which balls a package has, and what runs over them."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.ball_array import ball_name, is_row
from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design
from jobkit.jobs.entries import Pad
from jobkit.jobs.job import Job
from jobkit.lint.registry import Found, FoundIn, own_look, rule
from jobkit.reckon.heat.fittings import fitted_on, fittings_by_part
from jobkit.reckon.readings.pads import PadVerdict, judge_pad


@rule("warning")
def pad_outside(job: Job, bench: Bench) -> Iterator[Found]:
    """A repaired pad reads more than the bench allows.

    What it finds: a repaired [[pad]] of the board whose `reads` is outside the limit, or nearer to the limit than its
    meter can tell. The limit is `limit` under [pads] in bench.toml (default: 1 Ω); leads and uncertainty are those of
    its `meter`, and the decision rule is the bench's. An error once a part is fitted on a pad outside the limit.

    Why it matters: a film or wire that reads kilo-ohms does not conduct, and under the package the pad cannot be
    reached again.

    How to fix: repair the pad again, and write down what it reads then; if it carries nothing, say
    `carries = "no-connect"`.

    Example: `repaired = "wire"`, `reads = "4.7 kΩ"`.
    """
    fittings = fittings_by_part(job.work) if job.pads else {}
    for pad in job.pads:
        verdict = None if pad.of_package or pad.carries == "no-connect" else judge_pad(pad, bench)
        fitted = fitted_on(pad, fittings)
        if verdict is None or verdict.word == "in" or (fitted and _is_open(pad)):
            continue
        on = f", and {pad.part} was fitted on it" if fitted else ""
        message = f"the repaired pad {pad.ball} of {pad.part} reads {_reads(verdict)}{on}"
        level = "error" if fitted and verdict.word == "out" else None
        mend = "repair it again before you fit a part on it, or read it with a finer meter"
        yield Found((*pad.path, "reads"), _about(pad), message, mend, level)


def _is_open(pad: Pad) -> bool:
    """Tell whether pad-open reports the pad, once a part is fitted on it."""
    return bool(pad.reads and pad.reads.open) and pad.damage in {"lifted", "torn-off"}


def _reads(verdict: PadVerdict) -> str:
    shown, limit = verdict.corrected, verdict.limit.text
    value = shown.shown.text + (f" ({shown.value.text} without the leads)" if shown.lead else "")
    if verdict.word == "near":
        return f"{value}, nearer to its limit {limit} than the meter can tell"
    return f"{value}, outside its limit {limit}"


@rule("error")
def ball_unknown(job: Job, bench: Bench) -> Iterator[Found]:
    """A ball is named that the package cannot have.

    What it finds: a [[pad]] whose `ball` is outside the `array` that the board file gives for its part; without an
    array, on a memory package or the processor, a ball in a row that no array has (rows skip I, O, Q, S, X and Z) or in
    column 0. In a board file: such a ball among the `balls` of a memory package.

    Why it matters: the pad is looked for again by its ball, and a memory log is compared with it.

    How to fix: read the ball off the drawing again, from above and not from below.

    Example: `ball = "I4"`, or `ball = "K15"` on a package with 14 columns.
    """
    design = bench.designs.get(job.board.design or "") if job.pads else None
    for pad in job.pads if design else ():
        if design and pad.ball and (why := _impossible(pad.ball, pad.part, design)):
            yield Found((*pad.path, "ball"), _about(pad), why, "read the ball off the drawing again")


@own_look("ball-unknown")
def ball_unknown_in_a_board_file(bench: Bench) -> Iterator[FoundIn]:
    """Look at the arrays, and at the balls of each memory package."""
    for design in bench.designs.values():
        for found in (*_backwards(design), *_mapped_balls(design)):
            yield FoundIn(design.path, found)


def _backwards(design: Design) -> Iterator[Found]:
    for package in design.packages:
        array = package.array
        if array and array.rows and not array.row_names:
            message = f"the rows {array.rows} of {package.part} run backwards"
            place = (*package.path, "array", "rows")
            yield Found(place, package.part or "", message, "write the first row first, as in A-V")


def _mapped_balls(design: Design) -> Iterator[Found]:
    for memory in design.memory:
        for channel, balls in memory.balls:
            for line, ball in enumerate(balls):
                if why := _impossible(ball, memory.part, design):
                    place = (*memory.path, "balls", channel, line)
                    yield Found(place, f"{memory.part} {ball}", why, "correct the ball")


def _impossible(ball: str, part: str | None, design: Design) -> str:
    """Say why a package cannot have a ball; "" where it can, or where nothing is known of its balls."""
    array = design.array_of(part)
    if array:
        if array.has(ball):
            return ""
        return f"{part} has no ball {ball}: its rows are {array.rows}, its columns 1 to {array.columns}"
    name = ball_name(ball)
    if name is None or not design.has_balls(part):
        return ""
    row, column = name
    if not is_row(row):
        return f"{part} cannot have a ball {ball}: no row of an array has the letters I, O, Q, S, X or Z"
    return "" if column else f"{part} cannot have a ball {ball}: columns are numbered from 1"


@rule("error")
def carries_mismatch(job: Job, bench: Bench) -> Iterator[Found]:
    """A ball of a data line is said to carry something else.

    What it finds: a [[pad]] whose `carries` is not "data", under a ball that the board file maps to a data line
    (`balls` of its memory package).

    Why it matters: whether a pad may be left open depends on what it carries.

    How to fix: correct `carries` or `ball`, or the map in the board file.

    Example: `ball = "B4"`, `carries = "ground"`, where the board file has B4 as line 0 of channel 1L.
    """
    design = bench.designs.get(job.board.design or "") if job.pads else None
    for pad in job.pads if design else ():
        is_data = design and pad.ball and pad.ball.upper() in design.data_balls(pad.part)
        if is_data and pad.carries not in {None, "data"}:
            message = (
                f'{_about(pad)} is said to carry "{pad.carries}", and the board file has a data line on it'
            )
            yield Found(
                (*pad.path, "carries"), _about(pad), message, 'write carries = "data", or correct the ball'
            )


def _about(pad: Pad) -> str:
    return f"{pad.part} {pad.ball}"
