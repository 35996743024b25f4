"""The drawings of the client's paper: readings beside limits, loaded runs over time, where parts were fitted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from jobkit.jobs.design import Design
from jobkit.pages.blocks import Block, BoardMap, Curve, Curves, Level, Mark, Package, Strip, Strips
from jobkit.pages.client.ball_drawing import marks_used, pad_map
from jobkit.pages.client.board_drawing import memory_map
from jobkit.pages.client.load_logs import trial_label
from jobkit.pages.client.reading_phrases import AFTER, BEFORE, strip_label
from jobkit.pages.client.usual_range import strip_usual
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.pages.words import listed
from jobkit.reckon.client.paper import Compared, Paper
from jobkit.reckon.load_run.check import Check
from jobkit.reckon.load_run.courses import Course, courses
from jobkit.reckon.load_run.run import Run, plain_name
from jobkit.reckon.readings.limits import Judged
from jobkit.units.phrase import phrase
from jobkit.units.quantity import Quantity

_STRIPS = phrase(
    "The shaded band is the limit; the line through a mark is how far the uncertainty of the meter reaches."
)
_USUAL = phrase("The bar below the band is what other good boards of this design read.")
_CAME = {
    ("fit", "new"): phrase("fitted new"),
    ("fit", "donor"): phrase("fitted from a donor"),
    ("fit", "same"): phrase("fitted again"),
    ("swap", "new"): phrase("swapped new"),
    ("swap", "donor"): phrase("swapped from a donor"),
    ("swap", "same"): phrase("swapped again"),
}
_DONE = {
    "remove": phrase("taken off"),
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
        is_usual = any(strip.usual for strip in strips)
        about = " ".join((lang.say(_STRIPS), lang.say(_USUAL))) if is_usual else lang.say(_STRIPS)
        yield Strips(about, kinds, strips)


def _strip(each: Compared, lang: Language) -> Strip | None:
    limit = (each.after and each.after.limit) or (each.before and each.before.limit) or None
    pairs = ((lang.say(BEFORE), each.before), (lang.say(AFTER), each.after))
    marks = [mark for what, judged in pairs if judged and (mark := _mark(what, judged, lang))]
    if limit is None or limit.open or not marks:
        return None
    label = strip_label(each.reading, lang)
    values = " → ".join(mark.text for mark in marks)
    ends = _end(limit.low, lang), _end(limit.high, lang)
    return Strip(f"{label}: {values}", marks, *ends, strip_usual(each.usual, lang))


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
        [(run.loaded.start, run.loaded.end)] if run else (),
    )


def _ends(check: Check | None) -> Sequence[tuple[Quantity | None, bool]]:
    limit = check.limit if check else None
    return ((limit.low, False), (limit.high, True)) if limit else ()


def board_map(paper: Paper, lang: Language = ENGLISH) -> Iterator[Block]:
    """Draw the packages round the processor and mark what was done to them; nothing for a board without a drawing."""
    design, done = paper.bench.designs.get(paper.job.board.design or ""), _done(paper, lang)
    if design is None or not done:
        return
    drawn = memory_map(design, marks=done, lang=lang)
    placed = {design.processor, *(one.part for one in design.memory if one not in drawn.elsewhere)}
    elsewhere = [
        Package(part, words, _place(design, part)) for part, words in done.items() if part not in placed
    ]
    if drawn.lines:
        yield _without_channels(drawn.picture)._replace(elsewhere=elsewhere)


def _without_channels(picture: BoardMap) -> BoardMap:
    """Leave out the channels of the memory, which mean nothing to a client."""
    left, top, right, bottom = (
        [one._replace(note="") for one in side]
        for side in (picture.left, picture.top, picture.right, picture.bottom)
    )
    return picture._replace(left=left, top=top, right=right, bottom=bottom)


def _place(design: Design, part: str) -> str:
    package = design.package(part)
    return package.place or "" if package else ""


def _done(paper: Paper, lang: Language) -> dict[str, str]:
    """Say by part what was done to it, in the order in which it was first worked on."""
    done: dict[str, list[str]] = {}
    for work in sorted(paper.job.work, key=lambda one: (one.at is None, one.at)):
        if work.part and work.did in _DONE:
            done.setdefault(work.part, []).append(_CAME.get((work.did, work.came or ""), _DONE[work.did]))
    return {
        part: ", ".join(map(lang.say, _without_removal(list(dict.fromkeys(words)))))
        for part, words in done.items()
    }


def _without_removal(words: list[str]) -> list[str]:
    """Leave out that a part was taken off where it was fitted afterwards."""
    fitted = any(word.startswith((_DONE["fit"], _DONE["swap"])) for word in words)
    return [word for word in words if word != _DONE["remove"] or not fitted]


def pad_maps(paper: Paper, lang: Language = ENGLISH) -> Iterator[Block]:
    """Draw the pads under each package that has damaged ones, where the board file gives its array."""
    design = paper.bench.designs.get(paper.job.board.design or "")
    damaged = {(pad.part, pad.of_package) for pad in paper.job.pads}
    for part, of_package in sorted(damaged, key=lambda one: (one[0] or "", one[1])):
        array = design.array_of(part) if design else None
        pads = [pad for pad in paper.job.pads if pad.part == part and pad.of_package == of_package]
        used = marks_used(array, pads, lang) if array else ()
        if array and used:
            words = _PADS_OF if of_package else _PADS_UNDER
            yield pad_map(array, pads, lang.say(words, part=part, marks=listed(*used)), lang)


_PADS_OF = phrase("Pads of the package {part}, seen from the parts side: {marks}.")
_PADS_UNDER = phrase("Pads under {part}, seen from the parts side: {marks}.")
