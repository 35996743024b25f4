from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from jobkit.reckon.statistics.quantile import SampleError
from jobkit.reckon.statistics.survival import (
    Stay,
    SurvivalStep,
    kaplan_meier,
    median_stay,
)

STAYS = st.lists(st.builds(Stay, st.integers(0, 60), st.booleans()), min_size=1, max_size=50)


def stays(came_back: str, watched: str) -> list[Stay]:
    return [Stay(int(day), came_back=True) for day in came_back.split()] + [
        Stay(int(day), came_back=False) for day in watched.split()
    ]


# Freireich and others 1963, Blood 21, remission under 6-MP, weeks
REMISSION = stays("6 6 6 7 10 13 16 22 23", "6 9 10 11 17 19 20 25 32 32 34 35")
# Miller 1997, leukaemia under maintained treatment, weeks (from memory)
MAINTAINED = stays("9 13 18 23 31 34 48", "13 28 45 161")


@pytest.mark.parametrize(
    ("watched", "expected", "middle"),
    [
        (
            REMISSION,
            [(6, 21, .8571, .0764), (7, 17, .8067, .0869), (10, 15, .7529, .0963), (13, 12, .6902, .1068),
             (16, 11, .6275, .1141), (22, 7, .5378, .1282), (23, 6, .4482, .1346)],
            23,
        ),
        (
            MAINTAINED,
            [(9, 11, .909, .0867), (13, 10, .818, .1163), (18, 8, .716, .1397), (23, 7, .614, .1526),
             (31, 5, .491, .1642), (34, 4, .368, .1627), (48, 2, .184, .1535)],
            31,
        ),
    ],
    ids=["remission", "maintained"],
)  # fmt: skip
def test_published_curves(
    watched: list[Stay], expected: list[tuple[int, int, float, float]], middle: int
) -> None:
    curve = kaplan_meier(watched)
    assert [(step.day, step.at_risk) for step in curve] == [row[:2] for row in expected]
    assert [float(step.survival) for step in curve] == pytest.approx([row[2] for row in expected], abs=5.1e-4)
    assert [step.error for step in curve] == pytest.approx([row[3] for row in expected], abs=5.1e-5)
    assert median_stay(curve) == middle


def test_the_remission_curve_to_four_digits() -> None:
    survival = [float(step.survival) for step in kaplan_meier(REMISSION)]
    assert survival == pytest.approx([0.8571, 0.8067, 0.7529, 0.6902, 0.6275, 0.5378, 0.4482], abs=5.1e-5)


@given(STAYS, st.sampled_from([0.8, 0.95, 0.99]))
def test_curve_and_band_agree_with_scipy(watched: list[Stay], confidence: float) -> None:
    curve = kaplan_meier(watched, confidence)
    ended = [stay.days for stay in watched if stay.came_back]
    open_ = [stay.days for stay in watched if not stay.came_back]
    oracle = stats.ecdf(stats.CensoredData(uncensored=ended, right=open_)).sf
    days = [step.day for step in curve]
    assert [float(step.survival) for step in curve] == pytest.approx(oracle.evaluate(days), abs=1e-12)
    alive = [step for step in curve if step.survival]
    if not alive:
        return
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("warnings.warn", lambda *_, **__: None)  # scipy warns where the band is not defined
        band = oracle.confidence_interval(confidence, method="log-log")
    days = [step.day for step in alive]
    assert [step.low for step in alive] == pytest.approx(band.low.evaluate(days), abs=1e-9)
    assert [step.high for step in alive] == pytest.approx(band.high.evaluate(days), abs=1e-9)


@given(STAYS)
def test_the_curve_is_sound(watched: list[Stay]) -> None:
    curve = kaplan_meier(watched)
    assert [step.day for step in curve] == sorted({stay.days for stay in watched if stay.came_back})
    assert all(later.survival < earlier.survival for earlier, later in pairwise(curve))
    for step in curve:
        assert step.at_risk == sum(stay.days >= step.day for stay in watched)
        assert step.comebacks == sum(stay == Stay(step.day, came_back=True) for stay in watched)
        assert (step.low is None) == (step.survival == 0)
        assert step.low is None or step.high is None or 0 <= step.low <= step.survival <= step.high <= 1


@given(st.lists(st.integers(0, 30), min_size=1, max_size=40))
def test_where_all_came_back_the_curve_is_the_share_left(days: list[int]) -> None:
    for step in kaplan_meier([Stay(day, came_back=True) for day in days]):
        assert step.survival == Fraction(sum(day > step.day for day in days), len(days))


def test_a_median_on_the_knife_edge_is_decided_on_fractions() -> None:
    # 1/2 exactly after the third of six; a float product of shares can land on either side.
    curve = kaplan_meier(stays("3 5 8 13 21 34", ""))
    assert curve[2].survival == Fraction(1, 2)
    assert median_stay(curve) == 8
    # (1 - 1/6)(1 - 1/5)(1 - 1/4) as above, with one watched less long: never quite one half
    assert median_stay(kaplan_meier(stays("3 5", "8 13 21 34"))) is None


def test_a_board_last_watched_on_the_day_of_a_comeback_still_counts() -> None:
    (step,) = kaplan_meier(stays("10", "10"))
    assert (step.at_risk, step.survival) == (2, Fraction(1, 2))


def test_no_stays_and_no_comebacks_make_an_empty_curve() -> None:
    assert kaplan_meier([]) == ()
    assert kaplan_meier(stays("", "5 9")) == ()
    assert median_stay(()) is None


def test_where_no_board_is_left_there_is_no_band() -> None:
    (step,) = kaplan_meier(stays("4 4", ""))
    assert step == SurvivalStep(4, 2, 2, Fraction(0), None, None, None)


def test_a_stay_that_ends_before_it_begins_is_refused() -> None:
    with pytest.raises(SampleError, match="a stay of -3 days ends before it begins"):
        kaplan_meier([Stay(5, came_back=True), Stay(-3, came_back=True)])
