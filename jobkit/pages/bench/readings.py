"""Readings on a page: what was shown, what it says of the board, how sure that is, and the verdict with its reason."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from jobkit.jobs.entries import Reading
from jobkit.jobs.finding import Place
from jobkit.named_tuple import NamedTuple
from jobkit.pages.bench.verdict_words import guarded_rule, margin_and_uncertainty, why
from jobkit.pages.blocks import Block, Line, Table, Title
from jobkit.pages.client.usual_range import range_words
from jobkit.pages.forms.data import Data, measured, number
from jobkit.pages.words import counted, listed
from jobkit.reckon.readings.against_usual import Against
from jobkit.reckon.readings.limits import Judged
from jobkit.reckon.readings.meters import value_words
from jobkit.reckon.readings.odd_one_out import ALIKE_ANYWAY, ReadingGroup, odd_in_words
from jobkit.units.written import plain_digits

_STAGES = (
    ("arrival", "Readings on arrival"),
    ("work", "Readings while working"),
    ("proof", "Proof readings"),
)
_HEADS = ("taken", "point", "kind", "value", "U", "verdict", "limit", "meter")


class ReadingsView(NamedTuple):
    """The readings of a job, judged; what is usual there, by the place of the reading; and those that should agree."""

    judged: Sequence[Judged]
    against: Mapping[Place, Against] = {}
    groups: Sequence[ReadingGroup] = ()


def reading_blocks(view: ReadingsView) -> Iterator[Block]:
    """Show readings stage by stage, then why a verdict is not plain, then what is unlike the rest."""
    for stage, title in _STAGES:
        here = [one for one in view.judged if (one.reading.stage or "work") == stage]
        if here:
            yield Title(title)
            yield Table(_HEADS, [_row(one) for one in here], right=("value", "U"))
            yield from map(Line, _reasons(here))
            yield from map(Line, _notes(here))
            yield from _usual_blocks(here, view.against) if stage == "arrival" else ()
            yield from map(Line, _unlike(here, stage, view))
    yield from map(Line, _rules(view.judged))


def _notes(here: Sequence[Judged]) -> Iterator[str]:
    """Say in one sentence what else was written down of readings."""
    noted = [f"{point(one.reading)}: {_note(one.reading)}" for one in here if _note(one.reading)]
    if noted:
        yield f"Noted: {'; '.join(noted)}."


def _note(reading: Reading) -> str:
    """Say what else was written down: the range set by hand, four wires, the group, all readings, a note."""
    wires = "four wires" if reading.four_wire else ""
    by_hand = f"range {reading.range.text}" if reading.range else ""
    group = f"group {reading.group}" if reading.group else ""
    mean = f"mean of {', '.join(one.text for one in reading.values)}" if reading.again else ""
    return listed(by_hand, wires, group, mean, reading.note)


def _row(one: Judged) -> tuple[str, ...]:
    reading, corrected = one.reading, one.corrected
    distance, expanded = margin_and_uncertainty(corrected, one.verdict) if corrected else ("", "")
    return (
        f"{reading.at:%m-%d %H:%M}" if reading.at else "",
        point(reading),
        kind(reading) + ("" if reading.settled else ", unsettled"),
        corrected.value.text if corrected else "",
        expanded,
        f"{one.verdict.word:<4}  {distance}" if one.verdict else "",
        one.limit.text if one.limit else "",
        reading.meter or "",
    )


def point(reading: Reading) -> str:
    """Name the place of a reading, with the other end, the red lead and the packages that were off."""
    more = [f"to {reading.to}" if reading.to else "", f"red on {reading.red_on}" if reading.red_on else ""]
    more.append(f"without {', '.join(reading.removed)}" if reading.removed else "")
    return " ".join(filter(None, (reading.point, *more)))


def kind(reading: Reading) -> str:
    """Say what was measured and how the board was."""
    return " ".join(filter(None, (reading.kind, reading.state)))


def moment(at: datetime | None) -> str:
    """Write a local time to the minute."""
    return f"{at:%Y-%m-%d %H:%M}" if at else ""


def _reasons(here: Sequence[Judged]) -> Iterator[str]:
    """Explain each verdict that is not a clear one."""
    for one in here:
        if one.verdict and one.corrected and one.limit and one.verdict.word != "in":
            yield f"{point(one.reading)}: {why(one.corrected, one.limit, one.verdict)}."


def _rules(judged: Sequence[Judged]) -> Iterator[str]:
    """Say by which rule verdicts were reached, and what was done to the readings before."""
    corrected = [one.corrected for one in judged if one.corrected]
    k = next((plain_digits(one.k) for one in corrected if one.uncertainty), None)
    if k and any(one.verdict and one.verdict.rule.startswith("guarded") for one in judged):
        yield guarded_rule(k, [one.verdict for one in judged if one.verdict])
    leads = sorted({f"{one.lead.text} on {one.meter}" for one in corrected if one.lead})
    if leads:
        yield f"Values are what the meter showed minus its lead resistance: {', '.join(leads)}."


def _unlike(here: Sequence[Judged], stage: str, view: ReadingsView) -> Iterator[str]:
    """Name what is unlike other good boards (on arrival the table says it), and unlike the rest of its sort."""
    for one in here if stage != "arrival" else ():
        against = view.against.get(one.reading.path)
        if against and against.stands in {"high", "low"} and one.corrected:
            boards = counted(against.usual.n + len(against.usual.open), "other good board")
            reads = f"{point(one.reading)}, {value_words(one.corrected)}"
            yield f"{reads}, is {against.stands}: {boards} of this design have {range_words(against.usual)}."
    for group in view.groups:
        for odd in group.odd if group.stage == stage else ():
            yield f"{odd_in_words(odd, group)}. {ALIKE_ANYWAY}."


def _usual_blocks(here: Sequence[Judged], against: Mapping[Place, Against]) -> Iterator[Block]:
    rows = [_usual_row(one, against[one.reading.path]) for one in here if one.reading.path in against]
    if rows:
        yield Title("Compared with good boards of this design", 3)
        yield Table(
            ("point", "kind", "value", "usual range", "boards", "this board"), rows, right=("value", "boards")
        )


def _usual_row(one: Judged, against: Against) -> tuple[str, ...]:
    reading, row = one.reading, against.usual
    return (
        point(reading),
        kind(reading),
        one.corrected.value.text if one.corrected else "",
        range_words(against.usual),
        str(row.n + len(row.open)),
        against.stands or "too few boards",
    )


def readings_data(view: ReadingsView) -> list[Data]:
    """Give readings as data."""
    odd = {one.reading.path for group in view.groups for one in group.odd}
    return [
        {
            **_reading_data(one),
            "usual": _against_data(view.against.get(one.reading.path)),
            "odd_one_out": one.reading.path in odd,
        }
        for one in view.judged
    ]


def _reading_data(one: Judged) -> Data:
    reading, corrected, verdict = one.reading, one.corrected, one.verdict
    return {
        "at": reading.at.isoformat() if reading.at else None,
        "stage": reading.stage,
        "point": reading.point,
        "kind": reading.kind,
        "state": reading.state,
        "value": measured(reading.value),
        "again": [measured(one) for one in reading.again],
        "limit": one.limit.text if one.limit else None,
        "verdict": verdict.word if verdict else None,
        "meter": reading.meter,
        "corrected": measured(corrected.value) if corrected else None,
        "lead": measured(corrected.lead) if corrected else None,
        "uncertainty": measured(corrected.uncertainty) if corrected else None,
        "margin": measured(verdict.margin) if verdict else None,
        "rule": verdict.rule if verdict else None,
        "inside_probability": verdict.inside if verdict else None,
        "why": f"{why(corrected, one.limit, verdict)}." if corrected and one.limit and verdict else None,
    }


def _against_data(against: Against | None) -> Data | None:
    if against is None:
        return None
    row = against.usual
    return {
        "n": row.n + len(row.open),
        "median": number(row.moments.median) if row.moments else None,
        "low": number(row.interval.low) if row.interval else None,
        "high": number(row.interval.high) if row.interval else None,
        "stands": against.stands or None,
    }
