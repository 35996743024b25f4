import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from jobkit.reckon.statistics.proportion import poisson, two_sided_z, wilson
from jobkit.reckon.statistics.quantile import SampleError

CONFIDENCES = st.sampled_from([0.5, 0.8, 0.9, 0.95, 0.99, 0.999])


@pytest.mark.parametrize(
    ("hits", "n", "low", "high"),
    # Newcombe, Statistics in Medicine 17 (1998), table I, method 3, from a copy
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0, 0.1611)],
)
def test_newcombes_table(hits: int, n: int, low: float, high: float) -> None:
    interval = wilson(hits, n)
    assert interval.low == pytest.approx(low, abs=5e-5)
    assert interval.high == pytest.approx(high, abs=5e-5)


@given(st.integers(1, 500).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))), CONFIDENCES)
def test_wilson_agrees_with_scipy(counted: tuple[int, int], confidence: float) -> None:
    hits, n = counted
    oracle = stats.binomtest(hits, n).proportion_ci(confidence, method="wilson")
    interval = wilson(hits, n, confidence)
    assert interval.low == pytest.approx(oracle.low, abs=1e-12)
    assert interval.high == pytest.approx(oracle.high, abs=1e-12)
    assert 0 <= interval.low <= hits / n <= interval.high <= 1
    assert interval.confidence == confidence


def test_none_and_all_touch_the_ends_exactly() -> None:
    assert [wilson(0, n).low for n in range(1, 60)] == [0] * 59
    assert [wilson(n, n).high for n in range(1, 60)] == [1] * 59


def test_of_no_cases_nothing_is_known() -> None:
    assert wilson(0, 0)[:2] == (0, 1)


@pytest.mark.parametrize(
    ("events", "low", "high"),
    # Garwood, Biometrika 28 (1936), exact Poisson limits, 95 %, from a copy
    [(0, 0, 3.6889), (1, 0.0253, 5.5716), (10, 4.7954, 18.3904), (25, 16.1787, 36.9049)],
)
def test_the_exact_poisson_table(events: int, low: float, high: float) -> None:
    interval = poisson(events)
    assert interval.low == pytest.approx(low, abs=5.1e-5)
    assert interval.high == pytest.approx(high, abs=5.1e-5)


@given(st.integers(0, 2000), CONFIDENCES)
def test_poisson_agrees_with_scipy(events: int, confidence: float) -> None:
    tail = (1 - confidence) / 2
    interval = poisson(events, confidence)
    low = stats.chi2.ppf(tail, 2 * events) / 2 if events else 0.0
    assert interval.low == pytest.approx(float(low), rel=1e-9)
    assert interval.high == pytest.approx(float(stats.chi2.isf(tail, 2 * events + 2)) / 2, rel=1e-9)


def test_the_usual_z() -> None:
    assert two_sided_z(0.95) == pytest.approx(1.959963984540054, rel=1e-14)


@pytest.mark.parametrize(("hits", "n"), [(5, 3), (-1, 3), (0, -1)])
def test_counts_that_are_none_are_refused(hits: int, n: int) -> None:
    with pytest.raises(SampleError, match="is not a share"):
        wilson(hits, n)
    with pytest.raises(SampleError, match="cannot be counted"):
        poisson(-1)


@pytest.mark.parametrize("confidence", [0, 1, -0.5, 1.5, float("nan")])
def test_confidences_that_are_none_are_refused(confidence: float) -> None:
    for reckon in (
        lambda: wilson(1, 2, confidence),
        lambda: poisson(1, confidence),
        lambda: two_sided_z(confidence),
    ):
        with pytest.raises(SampleError, match="makes no interval"):
            reckon()
