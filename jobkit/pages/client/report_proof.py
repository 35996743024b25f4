"""The tests on the client's paper: readings before and after, the steps of the proof policy, trials."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from jobkit.pages.blocks import Block, Line, Table, filled
from jobkit.pages.client.heat_logs import heat_log_blocks
from jobkit.pages.client.load_logs import log_blocks
from jobkit.pages.client.phrases import trial_words
from jobkit.pages.client.reading_phrases import AFTER, BEFORE, KINDS, manner_words, point_words, reading_words
from jobkit.pages.client.steps import ticked
from jobkit.pages.client.usual_range import range_words
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.reckon.client.cautions import NOT_REPAIRED
from jobkit.reckon.client.paper import Compared, Paper
from jobkit.reckon.readings.limits import Judged
from jobkit.units.phrase import phrase

_Pick = Callable[[Compared], Judged | None]
_STAGES: tuple[tuple[str, _Pick], ...] = (
    (BEFORE, lambda each: each.before),
    (AFTER, lambda each: each.after),
)


def readings(paper: Paper, lang: Language = ENGLISH) -> Iterator[Block]:
    """Set each reading as it came beside the one at the end, and say what such readings are."""
    if not paper.compared:
        return
    stages = [(head, pick) for head, pick in _STAGES if any(map(pick, paper.compared))]
    heads = (
        lang.say("where"),
        lang.say("what", "reading"),
        *(lang.say(head) for head, _ in stages),
        lang.say("limit"),
        lang.say("usual"),
    )
    rows = [_reading(each, [pick for _, pick in stages], lang) for each in paper.compared]
    yield filled(Table(heads, rows))
    yield Line(lang.say("The names on the left are supply lines and other places on the board."))
    if any(each.usual and each.usual.interval for each in paper.compared):
        yield Line(lang.say("Usual is what nearly all good boards of this design read there."))
    kinds = dict.fromkeys(each.reading.kind for each in paper.compared)
    yield from (Line(lang.say(KINDS[kind])) for kind in kinds if kind in KINDS)
    judged = [one for each in paper.compared for one in (each.before, each.after) if one]
    if any(one.corrected and one.corrected.uncertainty for one in judged):
        is_guarded = any(one.verdict and one.verdict.rule.startswith("guarded") for one in judged)
        yield Line(lang.say(_GUARDED if is_guarded else _UNCERTAIN))


_UNCERTAIN = phrase("The figure after ± is the uncertainty of the meter.")
_GUARDED = phrase(
    "The figure after ± is the uncertainty of the meter. If a reading is nearer to its limit than that, the meter "
    "cannot tell whether it is within."
)


def _reading(each: Compared, stages: Sequence[_Pick], lang: Language) -> tuple[str, ...]:
    limit = (each.after and each.after.limit) or (each.before and each.before.limit) or None
    return (
        point_words(each.reading, lang),
        manner_words(each.reading, lang),
        *(reading_words(pick(each), lang) for pick in stages),
        lang.say("open") if limit and limit.open else lang.figure(limit.text) if limit else "",
        range_words(each.usual, lang) if each.usual and each.usual.interval else "",
    )


def proof(paper: Paper, lang: Language = ENGLISH) -> Iterator[Block]:
    """Tick the steps of the bench's proof policy and list the trials."""
    if paper.job.outcome in NOT_REPAIRED:
        return
    if paper.steps:
        yield ticked(paper.steps, lang)
    if paper.job.trials:
        logged = {one.trial.path for one in paper.evidence}
        rows = [
            (
                lang.day(trial.at.date()) if trial.at else "",
                *trial_words(trial, has_log=trial.path in logged, lang=lang),
            )
            for trial in paper.job.trials
        ]
        yield Table([lang.say(head) for head in _TRIAL_HEADS], rows)
        yield from log_blocks(paper.evidence, lang)
    yield from heat_log_blocks(paper.heatings, lang)


_TRIAL_HEADS = (
    phrase("day"),
    phrase("trial"),
    phrase("duration"),
    phrase("conditions"),
    phrase("result"),
)
