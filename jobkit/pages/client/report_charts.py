"""The drawings of the client's paper: readings beside limits, loaded runs over time, where parts were fitted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from jobkit.jobs.design import Memory
from jobkit.pages.blocks import Block, BoardMap, Curve, Curves, Level, Mark, Package, Strip, Strips
from jobkit.pages.client.load_logs import trial_label
from jobkit.pages.client.phrases import AFTER, BEFORE, strip_label
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.reckon.client.paper import Compared, Paper
from jobkit.reckon.load_run.check import Check
from jobkit.reckon.load_run.courses import Course, courses
from jobkit.reckon.load_run.run import Run, plain_name
from jobkit.reckon.memory.board_map import SIDES, packages_by_side
from jobkit.reckon.readings.limits import Judged
from jobkit.units.phrase import phrase
from jobkit.units.quantity import Quantity

_STRIPS = phrase(
    "The shaded band is the limit; the line through a mark is how far the uncertainty of the meter reaches."
)
_DONE = {
    "fit": phrase("fitted"),
    "swap": phrase("swapped"),
    "reball": phrase("reballed"),
    "reflow": phrase("reflowed"),
    "rebuild-pads": phrase("pads rebuilt"),
}


def reading_strips(paper: Paper, lang: Language = ENGLISH) -> Iterator[Block]:
    """Draw each reading that has a limit, as it came and at the end."""
    strips = [strip for each in paper.compared if (strip := _strip(each, lang))]
    if strips:
        drawn = {mark.what for strip in strips for mark in strip.marks}
        kinds = [kind for kind in map(lang.say, (BEFORE, AFTER)) if kind in drawn]
        yield Strips(lang.say(_STRIPS), kinds, strips)


def _strip(each: Compared, lang: Language) -> Strip | None:
    limit = (each.after and each.after.limit) or (each.before and each.before.limit) or None
    pairs = ((lang.say(BEFORE), each.before), (lang.say(AFTER), each.after))
    marks = [mark for what, judged in pairs if judged and (mark := _mark(what, judged, lang))]
    if limit is None or limit.open or not marks:
        return None
    label = strip_label(each.reading, lang)
    values = " → ".join(mark.text for mark in marks)
    return Strip(f"{label}: {values}", marks, _end(limit.low, lang), _end(limit.high, lang))


def _mark(what: str, judged: Judged, lang: Language) -> Mark | None:
    corrected = judged.corrected
    if corrected is None or corrected.value.open:
        return None
    half = float(corrected.uncertainty.value) if corrected.uncertainty else 0.0
    return Mark(what, float(corrected.value.value), half, lang.written(corrected.value))


def _end(end: Quantity | None, lang: Language) -> tuple[float, str] | None:
    return (float(end.value), lang.written(end)) if end else None


def load_curves(paper: Paper, lang: Language = ENGLISH, *, with_day: bool = True) -> Iterator[Block]:
    """Draw over time what each sensor with a limit showed in the loaded runs."""
    for one in paper.evidence:
        checks = {plain_name(check.name): check for check in one.checks if check.limit}
        curves = [
            course_curve(course, checks, one.run, lang)
            for course in courses(one, paper.job, paper.bench)
            if plain_name(course.name) in checks
        ]
        if curves:
            day = one.trial.at.date() if one.trial.at and with_day else None
            words = lang.say(
                _CURVES_ON if day else _CURVES, run=trial_label(one.trial, lang), day=lang.day(day)
            )
            yield Curves(words, curves)


_CURVES = phrase("{run}, from its log. Broken lines are limits; the shaded time is under load.")
_CURVES_ON = phrase("{run} on {day}, from its log. Broken lines are limits; the shaded time is under load.")


def course_curve(
    course: Course, checks: Mapping[str, Check], run: Run | None, lang: Language = ENGLISH
) -> Curve:
    """Draw the course of a sensor, with its limit and the time under load."""
    check = checks.get(plain_name(course.name))
    ends = [(end, is_upper) for end, is_upper in _ends(check) if end]
    series = course.series
    return Curve(
        lang.own(course.name),
        course.unit,
        lambda: list(zip(series.times, series.values, strict=True)),
        [Level(float(end.value), lang.written(end), is_upper=is_upper) for end, is_upper in ends],
        (run.loaded.start, run.loaded.end) if run else None,
    )


def _ends(check: Check | None) -> Sequence[tuple[Quantity | None, bool]]:
    limit = check.limit if check else None
    return ((limit.low, False), (limit.high, True)) if limit else ()


def board_map(paper: Paper, lang: Language = ENGLISH) -> Iterator[Block]:
    """Draw the memory packages round the processor and mark what was done to them; nothing where none was touched."""
    design = paper.bench.designs.get(paper.job.board.design or "")
    done = _done(paper, lang)
    if design is None or not done.keys() & {package.part for package in design.memory if package.part}:
        return
    sides, _ = packages_by_side(design)
    left, top, right, bottom = ([_package(one, done) for one in sides[side]] for side in SIDES)
    yield BoardMap(
        lang.say("Seen from the parts side, the edge connector below."),
        design.processor or lang.say("processor"),
        left,
        top,
        right,
        bottom,
    )


def _done(paper: Paper, lang: Language) -> dict[str, str]:
    done: dict[str, list[str]] = {}
    for work in paper.job.work:
        if work.part and work.did in _DONE:
            done.setdefault(work.part, []).append(lang.say(_DONE[work.did]))
    return {part: _once(words) for part, words in done.items()}


def _once(words: Sequence[str]) -> str:
    return ", ".join(dict.fromkeys(words))


def _package(package: Memory, done: Mapping[str, str]) -> Package:
    return Package(package.part or "", done.get(package.part or "", ""))
