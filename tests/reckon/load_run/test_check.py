"""Limits against what a log shows."""

from __future__ import annotations

from decimal import Decimal

import pytest

from jobkit.jobs.load_log import Column, LoadLog
from jobkit.reckon.load_run.ambient import ambient_of, per_watt
from jobkit.reckon.load_run.check import Check, Conditions, check_run, worst_of
from jobkit.reckon.load_run.compare import compare_runs
from jobkit.reckon.load_run.run import Run, run_of
from jobkit.reckon.statistics.series import Series
from jobkit.units.limit import parse_limit
from jobkit.units.quantity import parse_quantity
from jobkit.units.sensor_accuracy import parse_sensor_accuracy
from jobkit.units.verdict import Decision
from tests.reckon.load_run.curves import first_order, noisy, ramp

UNITS = {"temperature": "°C", "power": "W", "voltage": "V", "clock": "Hz", "fan": "rpm", "errors": "errors"}


def a_run(*columns: tuple[str, str, Series]) -> Run:
    log = LoadLog(
        columns[0][2].times,
        tuple(Column(name, measures, UNITS.get(measures, ""), one.values) for name, measures, one in columns),
    )
    run = run_of(log)
    assert run is not None
    return run


PLAINLY = Conditions()


def level(value: float, **peaks: float) -> Series:
    """Make a steady value with single rows that differ."""
    flat = ramp(value, 0)
    values = list(flat.values)
    for place, peak in peaks.items():
        values[int(place[1:])] = peak
    return Series(flat.times, values)


def the_check(run: Run, name: str, limit: str, given: Conditions = PLAINLY) -> Check:
    return check_run(run, {name: parse_limit(limit)}, given)[0]


GOOD = a_run(
    ("core", "temperature", level(76, _50=77.5)),
    ("hot-spot", "temperature", level(87)),
    ("power", "power", level(230, _0=18)),
    ("12 V", "voltage", level(12.0, _30=11.3, _31=12.2)),
    ("fan", "fan", level(1650)),
    ("bridge", "", level(57)),
    ("ambient", "temperature", level(22)),
)


@pytest.mark.parametrize(
    ("name", "limit", "figure", "value", "word"),
    [
        ("core", "<= 77.5 °C", "highest", "77.5 °C", "in"),
        ("core", "<= 77.4 °C", "highest", "77.5 °C", "out"),
        ("core", ">= 76 °C", "settled", "76 °C", "in"),
        ("core", ">= 77 °C", "settled", "76 °C", "out"),
        ("core", "70 °C .. 77 °C", "highest", "77.5 °C", "out"),
        ("hot spot", "<= 95 °C", "highest", "87 °C", "in"),
        ("Hot_Spot", "<= 203 °F", "highest", "87 °C", "in"),
        ("power", "230 W ± 10 %", "settled", "230 W", "in"),
        ("power", "<= 0.229 kW", "settled", "230 W", "out"),
        ("12 V", "12 V ± 5 %", "lowest", "11.3 V", "out"),
        ("12 V", "<= 12.2 V", "highest", "12.2 V", "in"),
        ("12 V", "11 V .. 12.1 V", "highest", "12.2 V", "out"),
        ("bridge", "<= 85 °C", "highest", "57 °C", "in"),
        ("hot spot over ambient", "<= 65 °C", "highest", "65 °C", "in"),
        ("hot spot over ambient", "<= 64 K", "highest", "65 °C", "out"),
    ],
)  # fmt: skip
def test_each_end_of_a_limit_is_for_a_figure(
    name: str, limit: str, figure: str, value: str, word: str
) -> None:
    check = the_check(GOOD, name, limit)
    assert (check.figure, check.value and check.value.text, check.word) == (figure, value, word)


@pytest.mark.parametrize(
    ("name", "limit", "why"),
    [
        ("memory", "<= 95 °C", "the log has no such sensor"),
        ("core", "<= 95 V", "the log has it in °C, the limit is in V"),
        ("core", "OL", "a sensor does not read open"),
        ("fan", "<= 2 V", "the log has it in rpm, the limit is in V"),
        ("power over ambient", "<= 50 W", "only a temperature can have a limit over ambient"),
    ],
)
def test_what_cannot_be_checked_gets_no_verdict(name: str, limit: str, why: str) -> None:
    check = the_check(GOOD, name, limit)
    assert (check.word, check.why) == ("", why)


def test_a_rise_needs_the_room_and_two_rows_tell_nothing() -> None:
    run = a_run(("core", "temperature", level(76)))
    assert the_check(run, "core over ambient", "<= 60 °C").why == "the ambient temperature is not known"
    room = parse_quantity("20 °C")
    assert the_check(run, "core over ambient", "<= 60 °C", Conditions(room)).word == "in"
    short = a_run(("core", "temperature", ramp(76, 0, minutes=1, step=60)))
    assert the_check(short, "core", "<= 95 °C").why == "the log has fewer than three values under load"
    assert the_check(short, "core", ">= 20 °C").word == ""
    assert the_check(short, "core", "<= 75 °C").word == "out"


@pytest.mark.parametrize(
    ("accuracy", "limit", "word", "uncertainty"),
    [
        ("2 °C", "<= 79 °C", "near", "2.3 °C"),
        ("2 °C", "<= 80 °C", "in", "2.3 °C"),
        ("2 °C", "<= 75 °C", "out", "2.3 °C"),
        ("2 °C", "<= 76 °C", "near", "2.3 °C"),
        ("2 %", "<= 79 °C", "near", "1.8 °C"),
    ],
)
def test_the_stated_accuracy_of_a_sensor_makes_near(
    accuracy: str, limit: str, word: str, uncertainty: str
) -> None:
    # U = 2 · a / √3 (JCGM 100:2008, 4.3.7 and 6.2.1): 2 · 2 °C / 1.7321 = 2.31 °C.
    given = {"core": parse_sensor_accuracy(accuracy)}
    check = the_check(GOOD, "core", limit, Conditions(None, given, Decision("guarded")))
    assert check.word == word
    assert check.verdict is not None
    assert check.verdict.uncertainty is not None
    assert check.verdict.uncertainty.text == uncertainty


def test_an_accuracy_in_another_unit_is_no_accuracy() -> None:
    check = the_check(GOOD, "core", "<= 80 °C", Conditions(None, {"Core": parse_sensor_accuracy("2 W")}))
    assert (check.word, check.why) == ("", "its accuracy is stated in W, the limit is in °C")


def test_the_thermometer_of_the_room_counts_for_a_rise() -> None:
    given = {"core": parse_sensor_accuracy("2 °C"), "ambient": parse_sensor_accuracy("1.5 °C")}
    check = the_check(GOOD, "core over ambient", "<= 60 °C", Conditions(None, given, Decision("guarded")))
    assert check.verdict is not None
    assert check.verdict.uncertainty is not None
    # 2 · √(2² + 1.5²) / √3 = 2.887
    assert check.verdict.uncertainty.value == pytest.approx(Decimal("2.8868"), abs=Decimal("0.0001"))


@pytest.mark.parametrize(
    ("series", "limit", "word"),
    [
        (first_order(25, 100, 150, minutes=5), "<= 95 °C", "near"),
        (first_order(25, 100, 150, minutes=5), "<= 101 °C", "in"),
        (first_order(25, 100, 150, minutes=20), "<= 99 °C", "out"),
        (ramp(60, 100, minutes=5), "<= 95 °C", "near"),
        (noisy(first_order(25, 94, 150), 0.3, 1), "<= 95 °C", "in"),
        (first_order(95, 40, 150, minutes=5), "<= 96 °C", "in"),
    ],
    ids=["will pass it", "will stay below", "has passed it", "no curve to go by", "settled", "cools"],
)
def test_a_temperature_that_still_rises_is_not_called_in(series: Series, limit: str, word: str) -> None:
    check = the_check(a_run(("core", "temperature", series)), "core", limit)
    assert check.word == word
    assert bool(check.why) == (word == "near")


@pytest.mark.parametrize(("counted", "word"), [(0, "in"), (3, "out")])
def test_errors_are_checked_without_a_limit(counted: float, word: str) -> None:
    run = a_run(("errors", "errors", level(0, _90=counted)))
    checks = check_run(run, {}, Conditions())
    assert [(check.name, check.figure, check.word) for check in checks] == [("errors", "errors", word)]


@pytest.mark.parametrize(
    ("limits", "worst"),
    [
        ({}, ""),
        ({"core": "<= 95 °C"}, "in"),
        ({"core": "<= 95 °C", "memory": "<= 95 °C"}, ""),
        ({"core": "<= 70 °C", "memory": "<= 95 °C"}, "out"),
    ],
    ids=["no limits", "in", "one not checked", "out"],
)
def test_the_word_for_all_checks(limits: dict[str, str], worst: str) -> None:
    checks = check_run(GOOD, {name: parse_limit(limit) for name, limit in limits.items()}, Conditions())
    assert worst_of(checks) == worst


def test_degrees_a_watt() -> None:
    # (85 - 25) / 40 = 1.5 °C/W
    run = a_run(
        ("core", "temperature", level(85)), ("power", "power", level(40)), ("fan", "fan", level(1650))
    )
    assert per_watt(run, run.sensors[0], parse_quantity("25 °C")) == Decimal("1.5")


@pytest.mark.parametrize(
    "columns",
    [
        [("core", "temperature", level(85)), ("power", "power", level(40)), ("fan", "fan", ramp(1200, 1200))],
        [("core", "temperature", level(85)), ("power", "power", level(40))],
        [("core", "temperature", level(85)), ("fan", "fan", level(1650))],
        [("core", "temperature", ramp(50, 60)), ("power", "power", level(40)), ("fan", "fan", level(1650))],
        [("core", "temperature", level(85)), ("power", "power", level(0)), ("fan", "fan", level(1650))],
    ],
    ids=["fan speeds up", "no fan logged", "no power", "not settled", "no watts"],
)
def test_degrees_a_watt_only_where_they_say_something(columns: list[tuple[str, str, Series]]) -> None:
    run = a_run(*columns)
    assert per_watt(run, run.sensors[0], parse_quantity("25 °C")) is None


def test_the_room_is_told_by_the_log_before_the_trial() -> None:
    told = parse_quantity("25 °C")
    logged = ambient_of(GOOD, told)
    assert logged is not None
    assert logged.text == "22 °C"
    assert ambient_of(a_run(("core", "temperature", level(80))), told) is told


def test_two_runs_are_compared_over_their_rooms() -> None:
    def cooled(end: float, tau: float, fan: float = 1650) -> Run:
        return a_run(
            ("hot spot", "temperature", noisy(first_order(25, end, tau), 0.3, 1)),
            ("power", "power", noisy(ramp(230, 0), 2, 2)),
            ("fan", "fan", ramp(fan, 0)),
            (f"only {tau:.0f}", "voltage", level(1)),
        )

    found = compare_runs(cooled(97, 120), cooled(86, 140), (parse_quantity("26 °C"), parse_quantity("21 °C")))
    spot = found.sensors[0]
    assert (found.only_before, found.only_after) == (("only 120",), ("only 140",))
    assert spot.name == "hot spot"
    assert spot.settled.difference == pytest.approx(Decimal(-11), abs=Decimal("0.1"))
    assert spot.rise.difference == pytest.approx(Decimal(-6), abs=Decimal("0.1"))
    assert spot.per_watt.difference == pytest.approx(Decimal(-6) / 230, abs=Decimal("0.001"))
    assert spot.time_constant.difference == pytest.approx(Decimal(20), abs=Decimal(6))
    assert spot.changed is True
    assert found.sensors[1].changed is False


def test_a_run_that_did_not_settle_gives_no_settled_difference() -> None:
    rising, level_run = (
        a_run(("core", "temperature", ramp(60, 60))),
        a_run(("core", "temperature", level(80))),
    )
    core = compare_runs(rising, level_run, (None, None)).sensors[0]
    assert (core.settled.difference, core.rise.difference, core.changed) == (None, None, None)
    assert core.highest.difference == Decimal(-10)
