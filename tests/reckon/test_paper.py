"""Readings before and after, side by side."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design, Point
from jobkit.jobs.entries import Reading
from jobkit.reckon.client.paper import Compared, compare
from jobkit.reckon.readings.limits import Judged
from jobkit.units.limit import parse_limit
from jobkit.units.quantity import parse_quantity


def read(hour: int, stage: str, point: str, value: str, **more: Any) -> Reading:
    return Reading(
        ("reading", hour),
        datetime(2026, 11, 1, hour),
        stage=stage,
        point=point,
        kind="resistance",
        value=parse_quantity(value),
        state="cold",
        **more,
    )


def told(rows: tuple[Compared, ...]) -> list[tuple[str | None, str | None, str | None]]:
    return [(row.reading.point, shown(row.before), shown(row.after)) for row in rows]


def shown(judged: Judged | None) -> str | None:
    return judged.reading.value.text if judged and judged.reading.value else None


def test_the_first_reading_on_arrival_stands_beside_the_last_proof() -> None:
    rows = compare(
        [
            read(8, "arrival", "V12", "0.4 Ω"),
            read(9, "arrival", "V12", "0.5 Ω"),
            read(10, "work", "V12", "3000 Ω"),
            read(11, "arrival", "VMEM", "23 Ω"),
            read(12, "proof", "V12", "3100 Ω"),
            read(13, "proof", "V12", "3174 Ω"),
            read(14, "proof", "V1V8", "90 Ω"),
        ],
        Bench(),
        None,
    )
    assert told(rows) == [("V12", "0.4 Ω", "3174 Ω"), ("VMEM", "23 Ω", None), ("V1V8", None, "90 Ω")]


def test_readings_in_another_manner_stand_alone() -> None:
    rows = compare(
        [read(8, "arrival", "V12", "0.4 Ω"), read(9, "proof", "V12", "3100 Ω", removed=("Q1",))],
        Bench(),
        None,
    )
    assert told(rows) == [("V12", "0.4 Ω", None), ("V12", None, "3100 Ω")]


def test_each_has_its_verdict_and_place() -> None:
    design = Design("boards/a.toml", "a", points=(Point((), "V12", "coil L7"),))
    (row,) = compare(
        [
            read(8, "arrival", "V12", "0.4 Ω", limit=parse_limit(">= 200 Ω")),
            read(9, "proof", "V12", "3100 Ω", limit=parse_limit(">= 200 Ω")),
        ],
        Bench(designs={"a": design}),
        "a",
    )
    assert [one.verdict.word for one in (row.before, row.after) if one and one.verdict] == ["out", "in"]
    assert row.where == "coil L7"


def test_a_reading_whose_value_could_not_be_read_is_left_out() -> None:
    broken = read(8, "arrival", "V12", "0.4 Ω")._replace(value=None)
    assert compare([broken], Bench(), None) == ()
