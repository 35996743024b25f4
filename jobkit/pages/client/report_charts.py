"""The drawings of the client's paper: readings beside limits, loaded runs over time, where parts were fitted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from jobkit.jobs.design import Memory
from jobkit.pages.blocks import Block, BoardMap, Curve, Curves, Level, Mark, Package, Strip, Strips
from jobkit.pages.client.load_logs import trial_label
from jobkit.reckon.client.paper import Compared, Paper
from jobkit.reckon.load_run.check import Check
from jobkit.reckon.load_run.courses import Course, courses
from jobkit.reckon.load_run.run import Run, plain_name
from jobkit.reckon.memory.board_map import SIDES, packages_by_side
from jobkit.reckon.readings.limits import Judged
from jobkit.units.quantity import Quantity

BEFORE, AFTER = "as it came", "at the end"
_STRIPS = (
    "The shaded band is the limit; the line through a mark is how far the uncertainty of the meter reaches."
)
_DONE = {
    "fit": "fitted",
    "swap": "swapped",
    "reball": "reballed",
    "reflow": "reflowed",
    "rebuild-pads": "pads rebuilt",
}


def reading_strips(paper: Paper) -> Iterator[Block]:
    """Draw each reading that has a limit, as it came and at the end."""
    strips = [strip for each in paper.compared if (strip := _strip(each))]
    if strips:
        drawn = {mark.what for strip in strips for mark in strip.marks}
        yield Strips(_STRIPS, [kind for kind in (BEFORE, AFTER) if kind in drawn], strips)


def _strip(each: Compared) -> Strip | None:
    limit = (each.after and each.after.limit) or (each.before and each.before.limit) or None
    pairs = ((BEFORE, each.before), (AFTER, each.after))
    marks = [mark for what, judged in pairs if judged and (mark := _mark(what, judged))]
    if limit is None or limit.open or not marks:
        return None
    reading = each.reading
    label = ", ".join(
        filter(None, (reading.point, reading.to and f"to {reading.to}", reading.kind, reading.state))
    )
    values = " → ".join(mark.text for mark in marks)
    return Strip(f"{label}: {values}", marks, _end(limit.low), _end(limit.high))


def _mark(what: str, judged: Judged) -> Mark | None:
    corrected = judged.corrected
    if corrected is None or corrected.value.open:
        return None
    half = float(corrected.uncertainty.value) if corrected.uncertainty else 0.0
    return Mark(what, float(corrected.value.value), half, corrected.value.text)


def _end(end: Quantity | None) -> tuple[float, str] | None:
    return (float(end.value), end.text) if end else None


def load_curves(paper: Paper, *, with_day: bool = True) -> Iterator[Block]:
    """Draw over time what each sensor with a limit showed in the loaded runs."""
    for one in paper.evidence:
        checks = {plain_name(check.name): check for check in one.checks if check.limit}
        curves = [
            course_curve(course, checks, one.run)
            for course in courses(one, paper.job, paper.bench)
            if plain_name(course.name) in checks
        ]
        if curves:
            day = f" on {one.trial.at:%Y-%m-%d}" if one.trial.at and with_day else ""
            yield Curves(
                f"{trial_label(one.trial)}{day}, from its log. Broken lines are limits; the shaded time is under load.",
                curves,
            )


def course_curve(course: Course, checks: Mapping[str, Check], run: Run | None) -> Curve:
    """Draw the course of a sensor, with its limit and the time under load."""
    check = checks.get(plain_name(course.name))
    ends = [(end, is_upper) for end, is_upper in _ends(check) if end]
    series = course.series
    return Curve(
        course.name,
        course.unit,
        lambda: list(zip(series.times, series.values, strict=True)),
        [Level(float(end.value), end.text, is_upper=is_upper) for end, is_upper in ends],
        (run.loaded.start, run.loaded.end) if run else None,
    )


def _ends(check: Check | None) -> Sequence[tuple[Quantity | None, bool]]:
    limit = check.limit if check else None
    return ((limit.low, False), (limit.high, True)) if limit else ()


def board_map(paper: Paper) -> Iterator[Block]:
    """Draw the memory packages round the processor and mark what was done to them; nothing where none was touched."""
    design = paper.bench.designs.get(paper.job.board.design or "")
    done = _done(paper)
    if design is None or not done.keys() & {package.part for package in design.memory if package.part}:
        return
    sides, _ = packages_by_side(design)
    left, top, right, bottom = ([_package(one, done) for one in sides[side]] for side in SIDES)
    yield BoardMap(
        "Seen from the parts side, the edge connector below.",
        design.processor or "processor",
        left,
        top,
        right,
        bottom,
    )


def _done(paper: Paper) -> dict[str, str]:
    done: dict[str, list[str]] = {}
    for work in paper.job.work:
        if work.part and work.did in _DONE:
            done.setdefault(work.part, []).append(_DONE[work.did])
    return {part: _once(words) for part, words in done.items()}


def _once(words: Sequence[str]) -> str:
    return ", ".join(dict.fromkeys(words))


def _package(package: Memory, done: Mapping[str, str]) -> Package:
    return Package(package.part or "", done.get(package.part or "", ""))
