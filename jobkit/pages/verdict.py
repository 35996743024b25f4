"""One verdict on a page."""

from __future__ import annotations

from jobkit.pages.blocks import Answer, Line
from jobkit.pages.data import measured
from jobkit.units.quantity import Quantity
from jobkit.units.verdict import Verdict
from jobkit.units.want import Want


def verdict_page(reading: Quantity, want: Want, verdict: Verdict) -> Answer:
    """Say a verdict in one line."""
    margin = f", {verdict.margin.text} from the limit" if verdict.margin else ""
    data = {
        "value": measured(reading),
        "low": measured(want.low),
        "high": measured(want.high),
        "verdict": verdict.word,
        "uncertainty": measured(verdict.uncertainty),
        "margin": measured(verdict.margin),
        "rule": verdict.rule,
    }
    return Answer([Line(f"{reading.text} is {verdict.word} ({want.text}){margin}; {verdict.rule}")], data)
