"""One verdict on a page."""

from __future__ import annotations

from jobkit.pages.bench.readings import why
from jobkit.pages.blocks import Answer, Line
from jobkit.pages.forms.data import measured
from jobkit.reckon.readings.meters import Taken
from jobkit.units.limit import Limit
from jobkit.units.verdict import Verdict


def verdict_page(taken: Taken, limit: Limit, verdict: Verdict) -> Answer:
    """Say a verdict and its reason in one sentence."""
    data = {
        "value": measured(taken.value),
        "low": measured(limit.low),
        "high": measured(limit.high),
        "verdict": verdict.word,
        "uncertainty": measured(verdict.uncertainty),
        "margin": measured(verdict.margin),
        "rule": verdict.rule,
        "shown": measured(taken.shown),
        "lead": measured(taken.lead),
        "meter": taken.meter or None,
        "range": measured(taken.range.upto) if taken.range else None,
        "why": f"{why(taken, limit, verdict)}.",
    }
    return Answer([Line(f"{why(taken, limit, verdict)}.")], data)
