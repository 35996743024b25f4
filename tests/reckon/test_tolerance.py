from decimal import Decimal
from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, optimize, stats

from jobkit.reckon.statistics.moments import SampleStatistics, moments
from jobkit.reckon.statistics.quantile import SampleError
from jobkit.reckon.statistics.tolerance import (
    one_sided_factor,
    range_confidence,
    tolerance_interval,
    two_sided_factor,
    values_needed,
)

SHARES = st.sampled_from([Decimal(share) for share in ("0.75", "0.9", "0.95", "0.99", "0.999")])


def held(content: str, confidence: str) -> tuple[Decimal, Decimal]:
    return Decimal(content), Decimal(confidence)


@pytest.mark.parametrize(
    ("n", "content", "factor"),
    # Berthouex and Brown, Statistics for environmental engineers, table 21.1, confidence 0.95, from a
    # copy
    [
        (5, "0.90", 4.29), (5, "0.95", 5.08), (5, "0.99", 6.60),
        (10, "0.90", 2.86), (10, "0.95", 3.39), (10, "0.99", 4.44),
        (20, "0.90", 2.32), (20, "0.95", 2.76), (20, "0.99", 3.62),
        (60, "0.90", 1.96), (60, "0.95", 2.34), (60, "0.99", 3.07),
    ],
)  # fmt: skip
def test_exact_two_sided_factors_of_the_table(n: int, content: str, factor: float) -> None:
    # Printed with two decimals, 5.08 where the exact value is 5.0769.
    assert two_sided_factor(n, *held(content, "0.95")) == pytest.approx(factor, abs=0.0051)


def test_the_nist_example() -> None:
    # NIST/SEMATECH e-Handbook 7.2.6.3: Howe's 2.217 and Natrella's 1.8752 are approximations of these.
    assert two_sided_factor(43, *held("0.90", "0.99")) == pytest.approx(2.22283, abs=5e-6)
    assert one_sided_factor(43, *held("0.90", "0.99")) == pytest.approx(1.8740, abs=5e-5)
    wafers = SampleStatistics(
        43, Decimal("97.07"), Decimal("0.0268"), Decimal("97.07"), Decimal(97), Decimal(98)
    )
    interval = tolerance_interval(wafers, *held("0.90", "0.99"))
    # The page's 97.0106 to 97.1294 with Howe's factor; the exact one is 0.0058 larger.
    assert float(interval.low) == pytest.approx(97.0106, abs=0.0003)
    assert float(interval.high) == pytest.approx(97.1294, abs=0.0003)


@pytest.mark.parametrize(("n", "factor"), [(5, 4.203), (10, 2.911), (20, 2.396), (30, 2.220)])
def test_exact_one_sided_factors_of_the_table(n: int, factor: float) -> None:
    # Content and confidence 0.95: Berthouex and Brown, from a copy
    assert one_sided_factor(n, *held("0.95", "0.95")) == pytest.approx(factor, abs=0.0006)


def oracle_two_sided(n: int, content: float, confidence: float) -> float:
    """The exact integral once more, by adaptive quadrature, library tails and library root finding."""

    def reach(off: float) -> float:
        return float(
            optimize.brentq(
                lambda r: stats.norm.cdf(off + r) - stats.norm.cdf(off - r) - content,
                0,
                abs(off) + 10,
                xtol=1e-13,
            )
        )

    def confident(k: float) -> float:
        def part(w: float) -> float:
            return float(stats.norm.pdf(w) * stats.chi2.sf((n - 1) * (reach(w / sqrt(n)) / k) ** 2, n - 1))

        return 2 * float(integrate.quad(part, 0, 8.5, epsabs=1e-12, epsrel=1e-12, limit=200)[0])

    start = two_sided_factor(n, Decimal(str(content)), Decimal(str(confidence)))
    return float(
        optimize.brentq(
            lambda k: confident(k) - confidence, 0.99 * start, 1.01 * start, xtol=1e-11, rtol=1e-12
        )
    )


@pytest.mark.parametrize(
    ("n", "content", "confidence"),
    [(2, 0.9, 0.95), (3, 0.95, 0.95), (4, 0.99, 0.9), (12, 0.95, 0.95), (75, 0.9, 0.99)],
)
def test_two_sided_factors_agree_with_library_quadrature(n: int, content: float, confidence: float) -> None:
    factor = two_sided_factor(n, Decimal(str(content)), Decimal(str(confidence)))
    assert factor == pytest.approx(oracle_two_sided(n, content, confidence), rel=1e-8)


@settings(max_examples=60)
@given(st.integers(2, 300), SHARES, SHARES)
def test_one_sided_factors_agree_with_scipy(n: int, content: Decimal, confidence: Decimal) -> None:
    oracle = stats.nct.ppf(float(confidence), n - 1, stats.norm.ppf(float(content)) * sqrt(n)) / sqrt(n)
    assert one_sided_factor(n, content, confidence) == pytest.approx(float(oracle), rel=1e-8)


def test_the_factor_comes_down_to_the_normal_quantile() -> None:
    factors = [two_sided_factor(n, *held("0.95", "0.95")) for n in (2, 4, 10, 100, 1000, 10000)]
    assert factors == sorted(factors, reverse=True)
    assert 1.96 < factors[-1] < 1.985


@pytest.mark.parametrize(
    ("content", "confidence", "one", "two"),
    # Wilks, Annals of Mathematical Statistics 12 (1941), sample sizes; from memory, and computed
    [
        ("0.95", "0.95", 59, 93),
        ("0.90", "0.95", 29, 46),
        ("0.90", "0.90", 22, 38),
        ("0.99", "0.95", 299, 473),
    ],
)
def test_values_needed_without_a_distribution(content: str, confidence: str, one: int, two: int) -> None:
    share, sure = held(content, confidence)
    for ends, needed in ((1, one), (2, two)):
        assert values_needed(share, sure, ends) == needed
        assert range_confidence(needed, share, ends) >= float(sure)
        assert range_confidence(needed - 1, share, ends) < float(sure)


def test_a_confidence_met_exactly_is_enough() -> None:
    # 1 - 0.5² = 0.75: the knife edge is decided on fractions.
    assert values_needed(*held("0.5", "0.75"), ends=1) == 2
    assert values_needed(*held("0.9", "0.5"), ends=1) == 7
    assert values_needed(*held("0.999", "0.999"), ends=1) == 6905


@given(st.integers(1, 300), SHARES)
def test_the_range_agrees_with_the_beta_distribution(n: int, content: Decimal) -> None:
    # The content of the range of n values follows a beta distribution (n - 1, 2), that below the highest (n,
    # 1).
    one = 1 - stats.beta.cdf(float(content), n, 1)
    assert range_confidence(n, content, ends=1) == pytest.approx(float(one), abs=1e-12)
    if n > 1:
        two = 1 - stats.beta.cdf(float(content), n - 1, 2)
        assert range_confidence(n, content) == pytest.approx(float(two), abs=1e-12)


def test_the_range_of_one_value_holds_nothing() -> None:
    assert range_confidence(1, Decimal("0.95")) == 0


def test_an_interval_tells_what_it_stands_for() -> None:
    interval = tolerance_interval(moments([10, 11, 12, 13]), *held("0.95", "0.95"))
    assert (interval.content, interval.confidence) == held("0.95", "0.95")
    # Odeh and Owen (1980), n = 4, 95 % and 95 % (from memory): 6.341; sd √(5/3)
    assert interval.factor == pytest.approx(6.341, abs=5e-4)
    assert float(interval.high - interval.low) == pytest.approx(2 * 6.341 * sqrt(5 / 3), abs=0.002)
    assert float(interval.low + interval.high) == pytest.approx(23)


def test_equal_values_give_an_interval_of_no_width() -> None:
    interval = tolerance_interval(moments([Decimal("0.31")] * 5), *held("0.95", "0.95"))
    assert interval.low == interval.high == Decimal("0.31")


def test_too_few_values_are_refused() -> None:
    sure = held("0.95", "0.95")
    with pytest.raises(SampleError, match="one value has no spread"):
        tolerance_interval(moments([5]), *sure)
    for factor in (one_sided_factor, two_sided_factor):
        with pytest.raises(SampleError, match="1 values are too few"):
            factor(1, *sure)
    with pytest.raises(SampleError, match="0 values are too few"):
        range_confidence(0, sure[0])


@pytest.mark.parametrize(
    "pair", [("0.4", "0.95"), ("1", "0.95"), ("0.95", "1"), ("0.95", "0"), ("0.95", "0.9999")]
)
def test_shares_that_make_no_limit_are_refused(pair: tuple[str, str]) -> None:
    content, confidence = held(*pair)
    for reckon in (
        lambda: two_sided_factor(5, content, confidence),
        lambda: one_sided_factor(5, content, confidence),
        lambda: values_needed(content, confidence),
    ):
        with pytest.raises(SampleError, match="of no use"):
            reckon()


@pytest.mark.parametrize("content", ["0.4", "1"])
def test_a_range_that_is_to_hold_all_or_less_than_half_has_no_confidence(content: str) -> None:
    with pytest.raises(SampleError, match="of no use"):
        range_confidence(5, Decimal(content))
