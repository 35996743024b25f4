"""What lint says of meters, and of readings unlike their sort: words, places, and where it keeps silent."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from jobkit.jobs.finding import Finding
from jobkit.lint.run.whole_book import lint
from tests.books import line_of, make_book
from tests.lint.laid import opened

RULES = {"meter-overdue", "meter-range", "reading-near", "meter-too-coarse", "odd-one-out", "reading-unusual"}
METERS = """\
format = 1
[[meter]]
name = "dmm-1"
calibrated = 2025-10-09
every = "P1Y"
[[meter.range]]
kind = "resistance"
upto = "220 Ω"
percent = 0.5
counts = 8
step = "0.01 Ω"
lead = "0.12 Ω"
[[meter.range]]
kind = "diode"
upto = "2 V"
percent = 1
counts = 3
step = "1 mV"
[[meter]]
name = "bare"
"""
BENCH = """\
format = 1
[bench]
name = "Test Bench"
letter = "K"
zone = "UTC"
currency = "EUR"
[decision]
rule = "guarded"
"""
HEAD = """\
format = 1
id = "K26-{number:04}"
client = "c-001"
title = "No picture"
{outcome}
[board]
kind = "graphics card"
design = "alder-a1"
serial = "S-{number}"
[intake]
complaint = "No picture"
[dates]
received = 2026-10-05
{dates}
"""
READING = """
[[reading]]
at = 2026-10-{day:02}T{hour:02}:00:00
stage = "{stage}"
point = "{point}"
kind = "{kind}"
value = "{value}"
state = "cold"
{more}
"""
DONE = "started = 2026-10-06\nfinished = 2026-10-10\nsent = 2026-10-12"


def reading(value: str, more: str = 'meter = "dmm-1"', **how: object) -> str:
    told = {"day": 9, "hour": 10, "stage": "proof", "point": "VMEM", "kind": "resistance", **how}
    return READING.format(value=value, more=more, **told)


def job(*readings: str, number: int = 1, outcome: str = "", dates: str = "", more: str = "") -> str:
    head = HEAD.format(number=number, outcome=outcome and f'outcome = "{outcome}"', dates=dates)
    return head + more + "".join(readings)


def found(tmp_path: Path, text: str, others: Mapping[str, str] | None = None) -> list[Finding]:
    files = {"bench.toml": BENCH, "meters.toml": METERS, "jobs/2026/K26-0001.toml": text, **(others or {})}
    book = opened(make_book(tmp_path / "book", files))
    return [one for one in lint(book).findings if one.rule in RULES]


def test_the_last_day_of_a_calibration_is_still_good(tmp_path: Path) -> None:
    assert found(tmp_path, job(reading("23 Ω", day=9))) == []


def test_a_reading_after_the_calibration_ran_out(tmp_path: Path) -> None:
    text = job(reading("23 Ω", day=10, stage="arrival"))
    (one,) = found(tmp_path, text)
    assert (one.rule, one.level, one.about) == ("meter-overdue", "warning", "VMEM")
    assert one.line == line_of(text, "meter = ")
    assert one.message == "dmm-1 was due for calibration by 2026-10-09, before this reading"
    assert "waive" in one.mend


def test_a_waiver_with_its_reason_settles_it(tmp_path: Path) -> None:
    waive = '\n[[waive]]\nrule = "meter-overdue"\nabout = "VMEM"\nwhy = "checked against a reference"\n'
    assert found(tmp_path, job(reading("23 Ω", day=10)) + waive) == []


def test_of_a_day_before_the_last_calibration_nothing_is_known(tmp_path: Path) -> None:
    meters = METERS.replace("2025-10-09", "2026-12-01")
    assert found(tmp_path, job(reading("23 Ω")), {"meters.toml": meters}) == []


@pytest.mark.parametrize(
    ("value", "more", "key", "message"),
    [
        ("3200 Ω", 'meter = "dmm-1"', "meter", "cannot show 3200 Ω"),
        ("23 Ω", 'meter = "dmm-1"\nrange = "2 kΩ"', "range", "no resistance range up to 2 kΩ"),
        ("23 Ω", 'meter = "dmm-1"\nfour_wire = true', "meter", "no four-wire range"),
    ],
)
def test_what_a_meter_cannot_have_shown(
    tmp_path: Path, value: str, more: str, key: str, message: str
) -> None:
    text = job(reading(value, more, stage="arrival"))
    (one,) = found(tmp_path, text)
    assert (one.rule, one.level, one.line) == ("meter-range", "warning", line_of(text, f"{key} = "))
    assert message in one.message


@pytest.mark.parametrize("more", ["", 'meter = "dmm-9"', 'meter = "bare"'])
def test_a_meter_that_is_not_known_is_no_fault_of_its_range(tmp_path: Path, more: str) -> None:
    assert found(tmp_path, job(reading("3200 Ω", more, stage="arrival"))) == []


def test_a_proof_reading_near_its_limit(tmp_path: Path) -> None:
    # 10.20 Ω shown is 10.08 Ω without leads; U = 2 √((0.131² + 0.0806²) / 3) = 0.178 Ω, more than the 0.08 Ω inside
    text = job(reading("10.20 Ω"))
    (one,) = found(tmp_path, text)
    assert (one.rule, one.level, one.line) == ("reading-near", "warning", line_of(text, "value = "))
    assert one.message == (
        "proof reading of VMEM, 10.08 Ω (shown 10.20 Ω, minus 0.12 Ω lead resistance), is 80 mΩ from its limit "
        "10 Ω .. 60 Ω, which dmm-1 cannot tell: U = 0.18 Ω; 82 % sure to be inside"
    )


@pytest.mark.parametrize(
    "text",
    [
        job(reading("10.20 Ω", stage="arrival")),
        job(reading("10.20 Ω"), reading("23 Ω", hour=11)),
        job(reading("10.20 Ω", 'meter = "dmm-1"\nnote = "the same on a borrowed bridge"')),
        job(reading("10.20 Ω", 'meter = "dmm-1"\ndecision = "plain"')),
        job(reading("10.20 Ω", "")),
    ],
    ids=["on arrival", "read again since", "with a note", "plain", "no meter"],
)
def test_near_is_silent(tmp_path: Path, text: str) -> None:
    assert found(tmp_path, text) == []


def test_an_open_reading_that_the_range_cannot_tell_from_the_limit(tmp_path: Path) -> None:
    (one,) = found(tmp_path, job(reading("OL", 'meter = "dmm-1"\nlimit = ">= 1 kΩ"')))
    assert one.rule == "reading-near"
    assert one.message == (
        "proof reading of VMEM, OL, cannot be told from its limit >= 1 kΩ: the meter's range ends at 220 Ω, short of "
        "the limit"
    )


def test_a_meter_too_coarse_for_its_limits(tmp_path: Path) -> None:
    # U = 2 √((0.1956² + 0.0806²) / 3) = 0.2443 Ω of 0.6 Ω: 40.7 %
    text = job(reading("23.12 Ω", 'meter = "dmm-1"\nlimit = "22.7 Ω .. 23.3 Ω"'))
    (one,) = found(tmp_path, text)
    assert (one.rule, one.level, one.line) == ("meter-too-coarse", "warning", line_of(text, "meter = "))
    assert one.message == ("U = 0.24 Ω of dmm-1 is 41 % of the 0.6 Ω between the limits 22.7 Ω .. 23.3 Ω")
    assert "U of 0.2 Ω or less" in one.mend


@pytest.mark.parametrize("limit", ["22.3 Ω .. 23.7 Ω", ">= 22.7 Ω", "<= 23.3 Ω"])
def test_limits_far_enough_apart_or_open_to_one_side(tmp_path: Path, limit: str) -> None:
    assert found(tmp_path, job(reading("23.12 Ω", f'meter = "dmm-1"\nlimit = "{limit}"'))) == []


def test_limits_without_room(tmp_path: Path) -> None:
    text = job(reading("23.12 Ω", 'meter = "dmm-1"\nlimit = "23 Ω .. 23 Ω"'))
    messages = {one.rule: one.message for one in found(tmp_path, text)}
    assert "leaves no room" in messages["meter-too-coarse"]


def _gates(stage: str) -> list[str]:
    values = ("0.552 V", "0.551 V", "0.381 V", "0.552 V")
    more = 'meter = "dmm-1"\nred_on = "ground"\ngroup = "gate"\nlimit = "<= 1 V"'
    return [
        reading(value, more, point=f"PG{at}", kind="diode", stage=stage) for at, value in enumerate(values, 1)
    ]


@pytest.mark.parametrize(
    ("stage", "dates", "odd"),
    [("arrival", "", True), ("arrival", DONE, False), ("work", DONE, False), ("proof", DONE, True)],
)
def test_the_odd_one_out_is_a_note_while_it_matters(
    tmp_path: Path,
    stage: str,
    dates: str,
    odd: bool,  # noqa: FBT001 - a column of the table
) -> None:
    text = job(*_gates(stage), dates=dates)
    notes = found(tmp_path, text)
    assert [(one.rule, one.level, one.about) for one in notes] == (
        [("odd-one-out", "note", "PG3")] if odd else []
    )
    for one in notes:
        assert one.line == line_of(text, "0.381 V")
        assert "Rails joined through coils read the same whatever is broken" in one.mend


def _sisters(*values: str) -> dict[str, str]:
    return {
        f"jobs/2026/K26-{number:04}.toml": job(reading(value), number=number, outcome="repaired", dates=DONE)
        for number, value in enumerate(values, 11)
    }


def test_a_proof_reading_unlike_its_sisters(tmp_path: Path) -> None:
    sisters = _sisters("23.0 Ω", "23.1 Ω", "23.2 Ω", "23.3 Ω", "23.4 Ω")
    text = job(reading("31.2 Ω"))
    (one,) = found(tmp_path, text, sisters)
    assert (one.rule, one.level, one.about) == ("reading-unusual", "note", "VMEM")
    assert one.line == line_of(text, "31.2 Ω")
    # their leads of 0.12 Ω off: mean 23.08, sd 0.158, exact factor 5.077
    assert one.message == (
        "proof reading of VMEM, 31.08 Ω (shown 31.2 Ω, minus 0.12 Ω lead resistance), is high against what 5 good "
        "boards have: 22.28 Ω to 23.88 Ω"
    )
    assert "jobkit usual alder-a1 --point VMEM" in one.mend


@pytest.mark.parametrize(
    ("text", "boards"),
    [
        (job(reading("23.3 Ω")), 5),
        (job(reading("31.2 Ω")), 3),
        (job(reading("31.2 Ω", stage="arrival")), 5),
        (job(reading("31.2 Ω"), outcome="repaired", dates=DONE), 5),
    ],
    ids=["as usual", "too few boards", "on arrival", "the board is gone"],
)
def test_unusual_is_silent(tmp_path: Path, text: str, boards: int) -> None:
    values = ("23.0 Ω", "23.1 Ω", "23.2 Ω", "23.3 Ω", "23.4 Ω")[:boards]
    assert found(tmp_path, text, _sisters(*values)) == []


def test_unusual_needs_the_whole_book_so_that_a_commit_need_not_read_it(tmp_path: Path) -> None:
    sisters = _sisters("23.0 Ω", "23.1 Ω", "23.2 Ω", "23.3 Ω", "23.4 Ω")
    root = make_book(
        tmp_path, {"bench.toml": BENCH, "jobs/2026/K26-0001.toml": job(reading("31.2 Ω")), **sisters}
    )
    one_file = lint(opened(root), lambda path: path.endswith("K26-0001.toml")).findings
    whole = lint(opened(root)).findings
    assert "reading-unusual" not in {one.rule for one in one_file}
    assert "reading-unusual" in {one.rule for one in whole}
