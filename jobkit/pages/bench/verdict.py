"""One verdict on a page."""

from __future__ import annotations

from jobkit.pages.bench.verdict_words import why
from jobkit.pages.blocks import Answer, Line
from jobkit.pages.forms.data import measured
from jobkit.reckon.readings.meters import CorrectedReading
from jobkit.units.limit import Limit
from jobkit.units.verdict import Verdict


def verdict_page(corrected: CorrectedReading, limit: Limit, verdict: Verdict) -> Answer:
    """Say a verdict and its reason in one sentence."""
    data = {
        "value": measured(corrected.value),
        "low": measured(limit.low),
        "high": measured(limit.high),
        "verdict": verdict.word,
        "uncertainty": measured(verdict.uncertainty),
        "margin": measured(verdict.margin),
        "inside_probability": verdict.inside,
        "rule": verdict.rule,
        "shown": measured(corrected.shown),
        "lead": measured(corrected.lead),
        "meter": corrected.meter or None,
        "range": measured(corrected.range.upto) if corrected.range else None,
        "why": f"{why(corrected, limit, verdict)}.",
    }
    return Answer([Line(f"{why(corrected, limit, verdict)}.")], data)
