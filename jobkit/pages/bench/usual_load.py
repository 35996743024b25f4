"""What good boards of a design reach under load, and how a run compares with that."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from jobkit.pages.blocks import Block, Line, Table, Title
from jobkit.pages.forms.data import Data, number
from jobkit.pages.words import counted
from jobkit.reckon.load_run.usual_under_load import PER_WATT, TIME_CONSTANT, AgainstUsual, UsualUnderLoad

_PLACES = {TIME_CONSTANT: 0, PER_WATT: 3}
_HEADS = ("sensor", "figure", "unit", "n", "mean", "sd", "range seen", "interval")


def usual_load_blocks(learned: Sequence[UsualUnderLoad]) -> Iterator[Block]:
    """Show what good boards reach, sensor by sensor."""
    if not learned:
        return
    yield Title("Under load")
    yield Table(_HEADS, [_row(one) for one in learned], right=("n", "mean", "sd"))
    yield Line(
        "From the log of the last loaded run that each of these boards passed. The rise over the room is that of the "
        "settled value; the interval holds 95 % of all boards with 95 % confidence if they are normally distributed."
    )


def against_load_blocks(against: Sequence[AgainstUsual], design: str) -> Iterator[Block]:
    """Compare a run with what good boards of its design reach."""
    if not against:
        return
    yield Title(f"Compared with good boards of {design}")
    yield Table(
        ("sensor", "figure", "good boards", "boards", "this run", "verdict"),
        [_against_row(one) for one in against],
        right=("boards", "this run"),
    )
    yield from (Line(f"{words}.") for one in against if (words := beyond_words(one)))


def beyond_words(one: AgainstUsual) -> str:
    """Say how far a figure is from what good boards reach; "" where it is within.

    "hot spot rise over the room 81.0 °C: 9.1 °C above what good boards of this design reach".
    """
    if not one.beyond:
        return ""
    least = "at least " if one.at_least else ""
    where = "above" if one.stands == "high" else "below"
    boards = counted(len(one.usual.reached), "board")
    return (
        f"{one.usual.sensor} {one.usual.figure} {_figure(one, one.value)}: {least}{_figure(one, one.beyond)} {where} "
        f"what good boards of this design reach ({_range(one.usual)}, {boards})"
    )


def usual_load_data(learned: Sequence[UsualUnderLoad]) -> list[Data]:
    """Give what was learned."""
    return [
        {
            "sensor": one.sensor,
            "figure": one.figure,
            "unit": one.unit,
            "n": one.moments.n,
            "mean": number(one.moments.mean),
            "sd": None if one.moments.sd is None else number(one.moments.sd),
            "lowest": number(one.moments.lowest),
            "highest": number(one.moments.highest),
            "interval": {"low": number(one.interval.low), "high": number(one.interval.high)}
            if one.interval
            else None,
            "range_confidence": one.range_confidence,
            "jobs": [job for job, _ in one.reached],
        }
        for one in learned
    ]


def against_load_data(against: Sequence[AgainstUsual]) -> list[Data]:
    """Give a comparison."""
    return [
        {
            "sensor": one.usual.sensor,
            "figure": one.usual.figure,
            "unit": one.usual.unit,
            "value": number(one.value),
            "at_least": one.at_least,
            "low": number(one.usual.low),
            "high": number(one.usual.high),
            "n": one.usual.moments.n,
            "stands": one.stands or None,
            "beyond": number(one.beyond),
        }
        for one in against
    ]


def _row(one: UsualUnderLoad) -> tuple[str, ...]:
    whole, interval = one.moments, one.interval
    return (
        one.sensor,
        one.figure,
        one.unit,
        str(whole.n),
        _plain(one, whole.mean),
        "" if whole.sd is None else _plain(one, whole.sd),
        f"{_plain(one, whole.lowest)} .. {_plain(one, whole.highest)}",
        f"{_plain(one, interval.low)} .. {_plain(one, interval.high)}" if interval else "",
    )


def _against_row(one: AgainstUsual) -> tuple[str, ...]:
    return (
        one.usual.sensor,
        one.usual.figure,
        _range(one.usual),
        str(one.usual.moments.n),
        ("> " if one.at_least else "") + _figure(one, one.value),
        one.stands or ("not settled" if one.at_least else "too few boards"),
    )


def _range(one: UsualUnderLoad) -> str:
    return f"{_plain(one, one.low)} .. {_plain(one, one.high)} {one.unit}"


def _figure(one: AgainstUsual, value: Decimal) -> str:
    return f"{_plain(one.usual, value)} {one.usual.unit}"


def _plain(one: UsualUnderLoad, value: Decimal) -> str:
    return f"{value:.{_PLACES.get(one.figure, 1)}f}".replace("-", "−")
