"""A verdict in words: what the meter showed, what that says of the board, how sure that is, and by which rule."""

from __future__ import annotations

from collections.abc import Sequence

from jobkit.reckon.readings.meters import CorrectedReading
from jobkit.units.exact import ROOT
from jobkit.units.limit import Limit
from jobkit.units.quantity import Quantity, plain
from jobkit.units.verdict import Verdict
from jobkit.units.written import MINUS, plain_digits, show, told_apart

_ALL_DIGITS = 28


def why(corrected: CorrectedReading, limit: Limit, verdict: Verdict) -> str:
    """Say in a sentence what a reading was, what it says of the board, and why the verdict is what it is."""
    return f"{_seen(corrected, _expanded(corrected, verdict))}: {_verdict_words(corrected, limit, verdict)}"


def _seen(corrected: CorrectedReading, expanded: str) -> str:
    """Say what was shown, on which meter and range, and what that says of the board, with its uncertainty."""
    words = corrected.shown.text
    if corrected.n > 1:
        words += f", the mean of {corrected.n} readings,"
    if corrected.meter:
        words += f" on {corrected.meter}"
    if corrected.range and corrected.range.upto:
        wires = "four wires, " if corrected.range.four_wire else ""
        words += f" ({wires}up to {corrected.range.upto.text})"
    if corrected.lead:
        words += f", minus {corrected.lead.text} lead resistance = {corrected.value.text}"
    return f"{words}, U = {expanded} (k = {plain_digits(corrected.k)})" if expanded else words


def margin_and_uncertainty(corrected: CorrectedReading, verdict: Verdict | None) -> tuple[str, str]:
    """Write the distance to the nearest limit, plus inside, and U beside it, so that the eye sees which is larger.

    Three digits and two, and one more of each as long as they would look alike.
    """
    distance, expanded = verdict and verdict.margin, corrected.uncertainty
    if distance is None or expanded is None:
        return (margin(verdict) if verdict else ""), (expanded.text if expanded else "")
    size, beside = told_apart(distance.value.copy_abs(), expanded.value, distance.unit)
    return f"{MINUS if distance.value < 0 else '+'}{size}", beside


def margin(verdict: Verdict) -> str:
    """Write the distance to the nearest limit to three digits, with its sign; inside is plus."""
    if verdict.margin is None:
        return ""
    text = show(verdict.margin.value, verdict.margin.unit)
    return text if verdict.margin.value < 0 else f"+{text}"


def _expanded(corrected: CorrectedReading, verdict: Verdict) -> str:
    """Write U with two digits, or as many as tell it from the distance to the limit, which is written in full."""
    if corrected.uncertainty is None or verdict.margin is None:
        return corrected.uncertainty.text if corrected.uncertainty else ""
    return _beside(verdict.margin, corrected.uncertainty)


def _beside(distance: Quantity, figure: Quantity) -> str:
    return told_apart(distance.value.copy_abs(), figure.value, figure.unit, (_ALL_DIGITS, 2))[1]


def _verdict_words(corrected: CorrectedReading, limit: Limit, verdict: Verdict) -> str:
    if verdict.margin is None:
        return f"{verdict.word}, limit {limit.text} ({verdict.rule})"
    size = plain(verdict.margin.value.copy_abs(), verdict.margin.unit).text
    where = "outside" if verdict.margin.value < 0 else "inside"
    distance = (
        f"{size} {where} {limit.text}" if verdict.margin.value else f"exactly on the end of {limit.text}"
    )
    if verdict.guard is not None:
        than = "no more than" if verdict.word == "near" else "more than"
        band = _guard_words(verdict.margin, verdict.guard, verdict.uncertainty)
        return f"{verdict.word}, because it is {distance}, {than} {band} (guarded){inside_words(verdict)}"
    reason = (
        f": {corrected.uncertainty_missing}"
        if verdict.rule != "plain" and corrected.uncertainty_missing
        else ""
    )
    return f"{verdict.word}, because it is {distance} ({verdict.rule}{reason})"


def _guard_words(distance: Quantity, guard: Quantity, expanded: Quantity | None) -> str:
    """Name the guard band w = r U: U itself, or r times U with its size."""
    if expanded is None or guard.value == expanded.value:
        return "U"
    times = plain_digits(ROOT.divide(guard.value, expanded.value))
    return f"{times} U = {_beside(distance, guard)}"


def inside_words(verdict: Verdict) -> str:
    """Say how likely the true value is within the limit, where the meter cannot tell; nothing of other verdicts."""
    if verdict.inside is None:
        return ""
    percent = 100 * verdict.inside
    likely = "more than 99 %" if percent > 99 else "less than 1 %" if percent < 1 else f"{percent:.0f} %"
    return f"; {likely} sure to be inside"


def guarded_rule(k: str, verdicts: Sequence[Verdict]) -> str:
    """Say what in, out and near mean, with the guard factor where it is not 1, and what a probability rests on."""
    factors = sorted({_factor(one) for one in verdicts if one.guard and one.uncertainty} - {"1"})
    times = f"{factors[0]} times " if factors else ""
    band = f"{factors[0]} U" if factors else "U"
    near = any(one.inside is not None for one in verdicts)
    sure = " How sure: for errors that are normally distributed (JCGM 106:2012, 7.2)." if near else ""
    return (
        f"Guarded: in is inside the limit by more than {times}the meter's uncertainty U (k = {k}), "
        f"out is outside by more than {band}, near: within {band} of the limit, so the meter cannot tell.{sure}"
    )


def _factor(verdict: Verdict) -> str:
    assert verdict.guard is not None
    assert verdict.uncertainty is not None
    return plain_digits(ROOT.divide(verdict.guard.value, verdict.uncertainty.value))
