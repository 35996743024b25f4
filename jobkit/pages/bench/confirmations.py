"""What the writing commands say of what they wrote: one line an entry, as short as it can be and still be whole."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime, timedelta

from jobkit.jobs.design import Design
from jobkit.jobs.entries import Reading
from jobkit.jobs.facts import Facts
from jobkit.pages.bench.readings import point
from jobkit.pages.bench.verdict_words import margin_and_uncertainty, why
from jobkit.pages.client.usual_range import range_words
from jobkit.pages.words import counted, listed
from jobkit.reckon.entry.walk import WalkStop
from jobkit.reckon.readings.against_usual import TOO_NEAR, Against
from jobkit.reckon.readings.limits import Judged
from jobkit.reckon.warranty.cover import COVERED, ENDED, NOT_BEGUN, VOID, Cover
from jobkit.units.kinds import KINDS, kinds_of
from jobkit.units.written import plain_digits

_RANGE = re.compile(r"(\S+) (\S+) \.\. (\S+ (\S+))")
_OFTEN_SAID = ("at", "by")


def reading_line(one: Judged) -> str:
    """Return a reading with its verdict and how it was taken: what you typed, and what jobkit assumed.

    "VMEM 23.4 Ω in (10 .. 60 Ω), arrival, cold, dmm-1".
    """
    reading = one.reading
    value = _shown(reading)
    kind = f" {reading.kind}" if _is_second_kind(reading) else ""
    verdict = f" {one.verdict.word} ({brief(one.limit.text)})" if one.verdict and one.limit else ", no limit"
    unsettled = "" if reading.settled else "unsettled"
    how = listed(reading.stage, reading.state, unsettled, reading.meter or "no meter")
    return f"{point(reading)} {value}{kind}{verdict}, {how}"


def _shown(reading: Reading) -> str:
    if reading.shown is None:
        return ""
    return f"{reading.shown.text} (mean of {len(reading.values)})" if reading.again else reading.shown.text


def reading_reason(one: Judged) -> str:
    """Say how sure the verdict is: what the meter's leads and accuracy make of the value; "" where nothing is known.

    A verdict that is not `in` is explained in full.
    """
    corrected, verdict = one.corrected, one.verdict
    if corrected is None or verdict is None or one.limit is None:
        return ""
    if verdict.word != "in":
        return f"{why(corrected, one.limit, verdict)}"
    if corrected.uncertainty is None:
        return ""
    leads = f" after subtracting {corrected.lead.text} lead resistance" if corrected.lead else ""
    rule = verdict.rule.split(",")[0]
    distance, expanded = margin_and_uncertainty(corrected, verdict)
    return f"{corrected.value.text}{leads}, U {expanded} (k = {plain_digits(corrected.k)}), margin {distance}, {rule}"


def brief(limit: str) -> str:
    """Write a limit without saying its unit twice.

    >>> brief("10 Ω .. 60 Ω"), brief(">= 200 Ω"), brief("900 Ω .. 1.1 kΩ")
    ('10 .. 60 Ω', '>= 200 Ω', '900 Ω .. 1.1 kΩ')
    """
    found = _RANGE.fullmatch(limit)
    return f"{found[1]} .. {found[3]}" if found and found[2] == found[4] else limit


def stop_question(number: int, count: int, stop: WalkStop, limit: str, warm: str = "") -> str:
    """Ask for a reading: the how manieth of how many, where, what, its limit, and until when the board is warm."""
    within = f" ({brief(limit)})" if limit else ""
    until = f" [{warm}]" if warm and stop.state == "warm" else ""
    return f"{number}/{count} {_stop(stop)}, {stop.state} {stop.kind}{within}{until}: "


def countdown(until: datetime, left: timedelta) -> str:
    """Say until when a board is warm, and how long that is from now.

    >>> countdown(datetime(2026, 10, 22, 10, 35), timedelta(minutes=12, seconds=4))
    'warm until 10:35, 12:04 left'
    """
    minutes, seconds = divmod(max(int(left.total_seconds()), 0), 60)
    return f"warm until {until:%H:%M}, {minutes}:{seconds:02} left"


def stop_help(stop: WalkStop, design: Design | None, limit: str, against: Against | None) -> Iterator[str]:
    """Say where the probe goes, what is usual there, and what to mind."""
    rail = design.rail(stop.rail) if design else None
    nominal = f", {rail.nominal.text}" if rail and rail.nominal else ""
    yield f"    {_stop(stop)}: {stop.where or 'the board file does not give the place'}"
    if rail:
        yield f"    on rail {rail.name}{nominal}, feeds {', '.join(rail.feeds) or 'nothing named'}"
    yield f"    limit: {limit or 'none'}"
    yield f"    {usual_line(against)}" if against else "    no usual reading is known here yet"
    for check in design.checks if design else ():
        if check.how and stop.point in check.covers:
            yield f"    {check.name}: {check.how}"
    if stop.state == "warm":
        yield "    the board is still warm: take the proof reading when it is cold"
    if stop.powered:
        yield "    under power: one hand, the probe insulated to its tip, the current limit set"


def usual_line(against: Against) -> str:
    """Say what good boards read, and how this one compares with them."""
    row = against.usual
    boards = counted(row.n + len(row.open), "board")
    stands = f": this board is {against.stands}" if against.stands else ""
    if against.stands == TOO_NEAR:
        stands = ": too near to tell with this meter"
    return f"usual {range_words(against.usual)} ({boards}){stands}"


def _stop(stop: WalkStop) -> str:
    more = [f"to {stop.to}" if stop.to else "", f"red on {stop.red_on}" if stop.red_on else ""]
    more.append(f"without {', '.join(stop.removed)}" if stop.removed else "")
    return " ".join(filter(None, (stop.point, *more)))


def was_here(one: Facts, covered: Cover) -> str:
    """Say when a board was here before, and what the promise given then is worth today.

    "was here as K26-0012, sent 2026-05-03, under warranty until 2026-11-03".
    """
    return f"was here as {listed(one.id, _left(one), _cover_words(covered), one.title)}"


def _left(one: Facts) -> str:
    """Say how a stay ended."""
    if one.sent:
        return f"sent {one.sent}"
    if one.collected:
        return f"collected {one.collected}"
    return f"{one.fate.replace('-', ' ')} since {one.gone}" if one.gone else "not sent yet"


def _cover_words(covered: Cover) -> str:
    if covered.state == COVERED:
        return f"under warranty until {covered.last_day}"
    if covered.state == ENDED:
        return f"warranty ended {covered.last_day}"
    if covered.state == VOID:
        return f"warranty void: {covered.void}"
    return "warranty not begun" if covered.state == NOT_BEGUN else "no warranty"


def entry_line(what: str, entry: Mapping[str, object]) -> str:
    """Say an entry that was written, by its keys: what it is first, then the rest.

    >>> entry_line("work", {"by": "ida", "minutes": 75, "did": "fit", "part": "Q214"})
    'work: minutes 75, did fit, part Q214'
    """
    said = (f"{key} {_said(value)}" for key, value in entry.items() if key not in _OFTEN_SAID)
    return f"{what}: {', '.join(said)}"


def set_lines(
    table: str,
    keys: Mapping[str, object],
    before: Mapping[str, object] = {},
) -> Iterator[str]:
    """Say keys that were set in a table, and what was there before where that was something else."""
    for key, value in keys.items():
        was = f", was {_said(before[key])}" if key in before and before[key] != value else ""
        yield f"{table} {key} {_said(value)}{was}".lstrip()


def _said(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return f"{value:%Y-%m-%d %H:%M}"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Mapping):
        return " and ".join(f"{key} {_said(inner)}" for key, inner in value.items())
    if isinstance(value, Iterable) and not isinstance(value, str):
        return " and ".join(map(_said, value)) or "none"
    return str(value)


def _is_second_kind(reading: Reading) -> bool:
    """Tell whether the unit alone needs a kind of reading: a drop in diode mode, a ripple."""
    kind = KINDS.get(reading.kind or "")
    return kind is not None and kinds_of(kind.unit)[0] != kind.name
