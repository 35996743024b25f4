"""Thermocouples that cannot be right: open, loose, noisy, dead, reversed, swapped; each is found and said."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import nan

import pytest

from jobkit.reckon.heat.heating import heating_of, placed
from jobkit.reckon.heat.temperatures import Temperatures, cleaned
from tests.reckon.heat.curves import SOUND, a_log, noisy, readings, through

Points = Sequence[tuple[float, float]]


def changed(points: Points, rows: range, change: Callable[[float], float]) -> list[tuple[float, float]]:
    return [(time, change(value) if row in rows else value) for row, (time, value) in enumerate(points)]


SOUND_POINTS = through(SOUND)


@pytest.mark.parametrize("rail", [1372.0, 1023.75, -200.0, 2552.0])
def test_rows_at_the_end_of_a_scale_are_left_out_and_said(rail: float) -> None:
    found = readings(changed(SOUND_POINTS, range(50, 53), lambda _: rail))
    assert len(found.values) == len(SOUND_POINTS) - 3
    assert max(found.values) == 240
    assert "3 rows read up to" in found.notes[0]
    assert found.fault == ""


def test_a_thermocouple_that_is_open_for_long_is_not_trusted() -> None:
    found = readings(changed(SOUND_POINTS, range(50, 120), lambda _: 1372.0))
    assert "open thermocouple" in found.fault
    assert found.holes


def test_one_that_is_open_all_the_time_has_no_readings() -> None:
    times = [time for time, _ in SOUND_POINTS]
    assert "open thermocouple" in str(cleaned(times, [1372.0] * len(times), 1.0))
    assert "fewer than three readings" in str(cleaned(times, [nan] * len(times), 1.0))


def test_a_single_row_that_jumps_away_is_left_out_and_said() -> None:
    found = readings(changed(SOUND_POINTS, range(100, 101), lambda value: value + 40))
    assert len(found.values) == len(SOUND_POINTS) - 1
    assert found.notes == ("1 row, at 100 s, jumps away and back; left out",)
    assert found.fault == ""


@pytest.mark.parametrize(
    ("change", "spikes"),
    [((9, 0), 1), ((-9, 0), 1), ((8, 0), 0), ((-8, 0), 0), ((9, 18), 0), ((-9, -18), 0)],
    ids=str,
)
def test_a_spike_is_beyond_both_its_neighbours(change: tuple[float, float], spikes: int) -> None:
    """At 50 s and from then on; rows are half a second apart, so that a step of 8 °C is the largest of a board."""
    steps = {0: 0.0, 100: change[0], 101: change[1]}
    found = readings([(row / 2, 100 + steps[max(at for at in steps if at <= row)]) for row in range(200)])
    assert len(found.values) == 200 - spikes
    assert found.notes == (("1 row, at 50 s, jumps away and back; left out",) if spikes else ())


def test_five_rows_left_out_are_no_hole_beside_one_of_six() -> None:
    rows = [(float(row), 100.0) for row in range(100) if row not in {*range(21, 25), *range(51, 56)}]
    (hole,) = readings(rows).holes
    assert (hole.start, hole.end, hole.before, hole.after) == (50.0, 56.0, 100.0, 100.0)


def test_the_apex_of_a_slow_log_is_no_spike() -> None:
    """In rows 10 s apart a peak may stand 20 °C above both its neighbours: it is real, and stays."""
    found = readings(through(((0, 25), (200, 225), (210, 245), (220, 225), (400, 50)), step=10))
    assert max(found.values) == 245
    assert found.notes == ()


def test_a_bead_that_comes_off_jumps() -> None:
    found = readings(changed(SOUND_POINTS, range(230, 400), lambda value: value - 60))
    assert "it jumps by" in found.fault
    assert "at 230 s" in found.fault


def test_a_jump_across_a_hole_is_not_one() -> None:
    found = readings([point for point in SOUND_POINTS if not 100 < point[0] < 190])
    assert found.fault == ""


@pytest.mark.parametrize(("sd", "is_trusted"), [(0.2, True), (1.0, True), (6.0, False)])
def test_noise(sd: float, is_trusted: bool) -> None:  # noqa: FBT001 - a table of cases
    found = readings(noisy(through(SOUND, 0.5), sd))
    assert (found.fault == "") is is_trusted


@pytest.mark.parametrize(("rows", "is_trusted"), [(21, True), (22, False)])
def test_a_scatter_is_told_from_twenty_differences_on(rows: int, is_trusted: bool) -> None:  # noqa: FBT001
    found = readings([(float(row), 100.0 + 7 * (row % 2)) for row in range(rows)])
    assert (found.fault == "") is is_trusted


def test_a_column_that_never_moves() -> None:
    still = [(time, 25.0) for time, _ in SOUND_POINTS]
    first, second = heating_of(a_log(t1=SOUND_POINTS, t2=still), 10).columns
    assert first.fault == ""
    assert second.fault == "it never moves while the others rise"


def test_a_log_in_which_nothing_is_heated() -> None:
    (only,) = heating_of(a_log(t1=through(((0, 25), (300, 40)))), 10).columns
    assert only.fault == "the log shows no heating"


def test_reversed_leads_fall_while_the_board_gets_hot() -> None:
    falling = [(time, max(50 - value, -35)) for time, value in SOUND_POINTS]
    _, second = heating_of(a_log(t1=SOUND_POINTS, t2=falling), 10).columns
    assert "leads are reversed" in second.fault


def test_a_joint_hotter_than_the_body_above_it_is_swapped() -> None:
    hotter = [(time, value * 1.05) for time, value in SOUND_POINTS]
    heating = heating_of(a_log(t1=hotter, t2=SOUND_POINTS), 10)
    for places, faults in (
        ({"t1": "U5 joint", "t2": "U5 body top"}, 2),
        ({"t1": "U5 body top", "t2": "U5 joint"}, 0),
        ({"t1": "U5 joint", "t2": "U6 body top"}, 0),
    ):
        found = placed(heating, places, "U5")
        assert sum("may be swapped" in one.measured.fault for one in found) == faults


def test_cleaning_leaves_a_sound_log_as_it_is() -> None:
    times, values = zip(*SOUND_POINTS, strict=True)
    assert cleaned(times, values, 1.0) == Temperatures(times, values, 1.0)
