"""Conformance probability and the fineness of the meter."""

from decimal import Decimal
from fractions import Fraction
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.units.accuracy import from_expanded
from jobkit.units.conformity import conformance_probability, share_of_tolerance
from jobkit.units.limit import parse_limit
from jobkit.units.quantity import parse_quantity, plain

VALUES = st.decimals(-100, 100, allow_nan=False, places=3)
SIZES = st.decimals("0.001", 50, allow_nan=False, places=3)


@pytest.mark.parametrize(
    ("value", "limit", "standard", "expected"),
    [
        # JCGM 106:2012, clause 7 (from memory)
        ("-5.47 V", "<= -5.40 V", "0.05 V", 0.919),
        ("13.6 V", "12.5 V .. 16.3 V", "1.8 V", 0.663),
        # on a limit one half; without uncertainty all or nothing
        ("5 V", ">= 5 V", "0.1 V", 0.5),
        ("5 V", ">= 5 V", "0 V", 1.0),
        ("4.999 V", ">= 5 V", "0 V", 0.0),
        # nothing is within a limit whose ends are crossed
        ("5 V", "6 V .. 4 V", "1 V", 0.0),
    ],
)
def test_conformance_probabilities(value: str, limit: str, standard: str, expected: float) -> None:
    probability = conformance_probability(parse_quantity(value), parse_limit(limit), parse_quantity(standard))
    assert round(probability, 3) == expected


@pytest.mark.parametrize(("guard", "risk"), [("0", 0.5), ("1", 0.022750)])
def test_the_risk_at_the_acceptance_limit(guard: str, risk: float) -> None:
    # ILAC-G8:09/2019, 4.1 to 4.2.2 (read): w = TL - AL; below 50 % for w = 0, 2.275 % for w = U with k = 2
    limit, expanded, k = Decimal(3), Decimal(1), Decimal(2)
    acceptance_limit = limit - Decimal(guard) * expanded
    standard = plain(from_expanded(expanded, k), "V")
    probability = conformance_probability(
        plain(acceptance_limit, "V"), parse_limit(f"<= {limit} V"), standard
    )
    assert 1 - probability == pytest.approx(risk, abs=1e-6)


@given(VALUES, VALUES, SIZES, SIZES)
def test_the_standard_library_s_normal_distribution_agrees(
    value: Decimal, low: Decimal, width: Decimal, standard: Decimal
) -> None:
    # distances in standard uncertainties, formed as fractions: floats would lose digits where value and limit are close
    to_low, to_high = (
        float((Fraction(end) - Fraction(value)) / Fraction(standard)) for end in (low, low + width)
    )
    expected = NormalDist().cdf(to_high) - NormalDist().cdf(to_low)
    probability = conformance_probability(
        plain(value, "V"), parse_limit(f"{low} V .. {low + width} V"), plain(standard, "V")
    )
    assert probability == pytest.approx(expected, abs=1e-12)


@given(VALUES, VALUES, SIZES)
def test_what_is_above_a_limit_is_not_below_it(value: Decimal, limit: Decimal, standard: Decimal) -> None:
    above, below = (
        conformance_probability(plain(value, "V"), parse_limit(f"{sign} {limit} V"), plain(standard, "V"))
        for sign in (">=", "<=")
    )
    assert above + below == pytest.approx(1, abs=1e-12)


@pytest.mark.parametrize(
    ("value", "limit", "expected"),
    [
        ("OL", "OL", 1.0),
        ("OL", ">= 1 MΩ", 1.0),
        ("OL", "<= 1 MΩ", 0.0),
        ("OL", "1 .. 2 Ω", 0.0),
        ("5 Ω", "OL", 0.0),
    ],
)
def test_open_readings_and_limits_are_all_or_nothing(value: str, limit: str, expected: float) -> None:
    reading, ends = parse_quantity(value, "resistance"), parse_limit(limit, "resistance")
    assert conformance_probability(reading, ends, parse_quantity("1 Ω")) == expected


@pytest.mark.parametrize(
    ("limit", "expanded", "share"),
    [
        ("10 .. 60 Ω", "0.5 Ω", "0.01"),
        ("0 .. 0.9 Ω", "0.3 Ω", "0.3333333333333333333333333333"),
        ("5 V ± 0 V", "0.1 V", "Infinity"),
        ("60 .. 10 Ω", "0.1 Ω", "Infinity"),
        (">= 200 Ω", "0.1 Ω", None),
        ("OL", "0.1 Ω", None),
    ],
)
def test_the_share_that_the_uncertainty_takes_of_a_limit(
    limit: str, expanded: str, share: str | None
) -> None:
    assert share_of_tolerance(parse_limit(limit), parse_quantity(expanded)) == (
        None if share is None else Decimal(share)
    )
