import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special, stats

from jobkit.reckon.statistics.distributions import (
    bisect_root,
    chi_square_above,
    gamma_above,
    normal_above,
    student_above,
    student_upper_tail,
)

DEGREES = st.integers(1, 400)
PARTS = st.floats(0.0001, 0.9999)


@given(DEGREES, PARTS)
def test_chi_square_agrees_with_scipy(degrees: int, part: float) -> None:
    x = float(stats.chi2.ppf(part, degrees))
    assert chi_square_above(x, degrees) == pytest.approx(1 - part, rel=1e-9)


@given(st.integers(1, 200), st.floats(0, 1000))
def test_gamma_agrees_with_scipy(halves: int, x: float) -> None:
    assert gamma_above(halves / 2, x) == pytest.approx(
        float(special.gammaincc(halves / 2, x)), rel=1e-9, abs=1e-300
    )


@given(DEGREES, st.floats(-10, 100))
def test_student_agrees_with_scipy(degrees: int, t: float) -> None:
    assert student_upper_tail(t, degrees) == pytest.approx(float(stats.t.sf(t, degrees)), rel=1e-8, abs=1e-15)


@given(DEGREES, st.floats(-100, 100))
def test_the_sum_for_student_agrees_with_scipy(degrees: int, t: float) -> None:
    assert student_above(t, degrees) == pytest.approx(float(stats.t.sf(t, degrees)), rel=1e-11, abs=2e-15)


@given(st.integers(1, 100), st.floats(0, 20), PARTS)
def test_noncentral_student_agrees_with_scipy(degrees: int, shift: float, part: float) -> None:
    t = float(stats.nct.ppf(part, degrees, shift))
    assert student_upper_tail(t, degrees, shift) == pytest.approx(1 - part, abs=1e-9)


@pytest.mark.parametrize(
    ("z", "above"),
    # NIST/SEMATECH e-Handbook 1.3.6.7.1 (from memory)
    [(0.0, 0.5), (1.0, 0.15866), (1.96, 0.0249979), (-1.0, 0.84134)],
)
def test_the_normal_table(z: float, above: float) -> None:
    assert normal_above(z) == pytest.approx(above, abs=5e-6)


def test_nothing_lies_below_zero() -> None:
    assert gamma_above(2.5, 0.0) == 1.0
    assert gamma_above(2.5, -1.0) == 1.0


@pytest.mark.parametrize("expected", [1e-9, 0.25, 1.0, 3.0, 1e6])
def test_a_crossing_is_found_to_the_last_digit(expected: float) -> None:
    assert bisect_root(lambda x: -x, -expected) == pytest.approx(expected, rel=1e-15)
