"""Two loaded runs beside each other on a page."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from jobkit.pages.bench.load import verdict_sentence
from jobkit.pages.bench.load_data import LoadView, load_data
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Table, Title, filled
from jobkit.pages.forms.data import Data, number
from jobkit.pages.forms.load_figures import clock_time, figure, signed
from jobkit.reckon.load_run.compare import Compared, Comparison, Sides

_HEADS = ("sensor", "before", "after", "difference", "over the room", "highest", "°C/W", "time constant", "")


def comparison_page(before: LoadView, after: LoadView, found: Comparison) -> Answer:
    """Show what changed from one run to the next; limits are those of the second."""
    data = {
        **load_data(after),
        "before": load_data(before),
        "compared": [_compared_data(one) for one in found.sensors],
    }
    return Answer([*_blocks(before, after, found)], data)


def _blocks(before: LoadView, after: LoadView, found: Comparison) -> Iterator[Block]:
    yield Title(f"Load runs {before.name} and {after.name}", 1)
    yield Line(f"{verdict_sentence(after.checks)} ({after.name}).")
    yield Pairs((("before", _run_words(before)), ("after", _run_words(after))))
    rows = [_row(one) for one in found.sensors]
    yield filled(Table(_HEADS, rows, right=_HEADS[1:-1]))
    yield Line(
        "Before and after are settled values; their difference is called none where it is within what both scatter "
        "(k = 2). A sensor's own error is the same in two runs of one board, and cancels; between two boards it does "
        "not."
    )
    for name, only in ((before.name, found.only_before), (after.name, found.only_after)):
        if only:
            yield Line(f"Only in {name}: {', '.join(only)}.")
    notes = dict.fromkeys((*before.run.notes, *after.run.notes))
    if notes:
        yield Line(f"Notes on the logs: {'; '.join(notes)}.")


def _run_words(view: LoadView) -> str:
    room = f"room {view.room.text}" if view.room else "room not known"
    fan = f", fan {view.run.fan}" if view.run.fan else ""
    return (
        f"{view.name}, {view.run.minutes:.1f} min under load of {clock_time(view.run.seconds)}, {room}{fan}"
    )


def _row(one: Compared) -> tuple[str, ...]:
    return (
        one.name,
        _shown(one.settled.before, one.unit) or "not settled",
        _shown(one.settled.after, one.unit) or "not settled",
        _difference(one.settled, one.unit),
        _difference(one.rise, one.unit),
        _difference(one.highest, one.unit),
        _per_watt(one.per_watt),
        _constant(one.time_constant),
        {True: "", False: "no difference", None: ""}[one.changed],
    )


def _shown(value: Decimal | None, unit: str) -> str:
    return "" if value is None else figure(float(value), unit)


def _difference(sides: Sides, unit: str) -> str:
    found = sides.difference
    if found is None:
        return ""
    if unit == "°C":
        return f"{signed(float(found))} °C"
    return ("+" if found > 0 else "") + figure(float(found), unit, 3)


def _per_watt(sides: Sides) -> str:
    if sides.before is None or sides.after is None:
        return ""
    return f"{sides.before:.3f} to {sides.after:.3f}"


def _constant(sides: Sides) -> str:
    if sides.before is None or sides.after is None:
        return ""
    return f"{sides.before:.0f} to {sides.after:.0f} s"


def _compared_data(one: Compared) -> Data:
    return {
        "name": one.name,
        "unit": one.unit,
        "settled": _sides(one.settled),
        "highest": _sides(one.highest),
        "rise": _sides(one.rise),
        "per_watt": _sides(one.per_watt),
        "time_constant_s": _sides(one.time_constant),
        "uncertainty": None if one.uncertainty is None else number(one.uncertainty),
        "changed": one.changed,
    }


def _sides(sides: Sides) -> Data:
    return {
        name: None if value is None else number(value)
        for name, value in (
            ("before", sides.before),
            ("after", sides.after),
            ("difference", sides.difference),
        )
    }
