"""The tests on the client's paper: readings before and after, the steps of the proof policy, trials."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from jobkit.pages.blocks import Block, Line, Table, filled
from jobkit.pages.client.heat_logs import heat_log_blocks
from jobkit.pages.client.load_logs import log_blocks
from jobkit.pages.client.phrases import KINDS, reading_words, trial_words
from jobkit.pages.client.steps import ticked
from jobkit.pages.client.usual_range import range_words
from jobkit.reckon.client.cautions import NOT_REPAIRED
from jobkit.reckon.client.paper import Compared, Paper
from jobkit.reckon.readings.limits import Judged

_Pick = Callable[[Compared], Judged | None]
_STAGES: tuple[tuple[str, _Pick], ...] = (
    ("as it came", lambda each: each.before),
    ("at the end", lambda each: each.after),
)


def readings(paper: Paper) -> Iterator[Block]:
    """Set each reading as it came beside the one at the end, and say what such readings are."""
    if not paper.compared:
        return
    stages = [(head, pick) for head, pick in _STAGES if any(map(pick, paper.compared))]
    heads = ("where", "what", *(head for head, _ in stages), "limit", "usual")
    yield filled(Table(heads, [_reading(each, [pick for _, pick in stages]) for each in paper.compared]))
    yield Line("The names on the left are supply lines and other places on the board.")
    if any(each.usual and each.usual.interval for each in paper.compared):
        yield Line("Usual is what nearly all good boards of this design read there.")
    kinds = dict.fromkeys(each.reading.kind for each in paper.compared)
    yield from (Line(KINDS[kind]) for kind in kinds if kind in KINDS)
    judged = [one for each in paper.compared for one in (each.before, each.after) if one]
    if any(one.corrected and one.corrected.uncertainty for one in judged):
        yield Line(
            "The figure after ± is the uncertainty of the meter. If a reading is nearer to its limit "
            "than that, the meter cannot tell whether it is within."
            if any(one.verdict and one.verdict.rule.startswith("guarded") for one in judged)
            else "The figure after ± is the uncertainty of the meter."
        )


def _reading(each: Compared, stages: Sequence[_Pick]) -> tuple[str, ...]:
    reading = each.reading
    to = f"to {reading.to}" if reading.to else ""
    limit = (each.after and each.after.limit) or (each.before and each.before.limit) or None
    return (
        " ".join(filter(None, (reading.point, to))),
        ", ".join(filter(None, (reading.kind, reading.state))),
        *(reading_words(pick(each)) for pick in stages),
        limit.text if limit else "",
        range_words(each.usual) if each.usual and each.usual.interval else "",
    )


def proof(paper: Paper) -> Iterator[Block]:
    """Tick the steps of the bench's proof policy and list the trials."""
    if paper.job.outcome in NOT_REPAIRED:
        return
    if paper.steps:
        yield ticked(paper.steps)
    if paper.job.trials:
        logged = {one.trial.path for one in paper.evidence}
        rows = [
            (str(trial.at.date()) if trial.at else "", *trial_words(trial, has_log=trial.path in logged))
            for trial in paper.job.trials
        ]
        yield Table(("day", "trial", "duration", "conditions", "result"), rows)
        yield from log_blocks(paper.evidence)
    yield from heat_log_blocks(paper.heatings)
