"""Meter accuracy: public data sheets, the examples of JCGM 100, and the package uncertainties as a second opinion."""

from decimal import Decimal
from math import sqrt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from jobkit.units.accuracy import (
    Accuracy,
    AccuracyError,
    Certificate,
    from_expanded,
    rectangular,
    root_sum_of_squares,
)
from jobkit.units.quantity import Quantity, parse_quantity, plain

FINE = Accuracy(Decimal("0.5"), Decimal(8), parse_quantity("0.01 Ω"))  # the range of the design's meters.toml
COARSE = Accuracy(Decimal("0.8"), Decimal(2), parse_quantity("0.1 Ω"))
LEAD = parse_quantity("0.12 Ω")
PERCENTS = st.decimals(0, 5, allow_nan=False, places=3)
COUNTS = st.integers(0, 50).map(Decimal)
STEPS = st.sampled_from(["0.0001", "0.001", "0.01", "0.1", "1"]).map(lambda step: plain(Decimal(step), "Ω"))
READINGS = st.decimals(-1000, 1000, allow_nan=False, places=4).map(lambda value: plain(value, "Ω"))
LEADS = st.none() | st.decimals(0, 1, allow_nan=False, places=3).map(lambda value: plain(value, "Ω"))
CERTIFICATES = st.none() | st.builds(
    Certificate,
    st.decimals("0.001", 1, allow_nan=False, places=3).map(lambda value: plain(value, "Ω")),
    st.sampled_from([Decimal(2), Decimal("1.65"), Decimal(3)]),
)
ACCURACIES = st.builds(
    Accuracy,
    PERCENTS,
    COUNTS,
    STEPS,
    LEADS,
    ppm=st.decimals(0, 500, allow_nan=False, places=1),
    percent_of_range=st.decimals(0, 1, allow_nan=False, places=4),
    upto=st.sampled_from([parse_quantity("100 Ω"), parse_quantity("1 kΩ")]),
    certificate=CERTIFICATES,
)


@pytest.mark.parametrize(
    ("reading", "percent", "counts", "step", "limit"),
    [
        # examples of public data sheets (from copies)
        ("100.0", "1", "2", "0.1", "1.2"),
        ("2.000", "0.08", "2", "0.001", "0.0036"),
        ("1.755", "0.5", "1", "0.001", "0.009775"),
        ("79.999", "0.03", "10", "0.001", "0.0339997"),
        ("2.000", "0.5", "3", "0.001", "0.013"),
        ("100.0", "0.8", "2", "0.1", "1.0"),
        ("-100.0", "1", "2", "0.1", "1.2"),
        ("5", "0.5", "0", "0.1", "0.025"),
        ("5", "0", "0", "0.1", "0"),
    ],
)
def test_the_limit_of_error_is_exact(reading: str, percent: str, counts: str, step: str, limit: str) -> None:
    accuracy = Accuracy(Decimal(percent), Decimal(counts), plain(Decimal(step), "V"))
    assert accuracy.limit_of_error(plain(Decimal(reading), "V")).value == Decimal(limit)


def test_rectangular_limits() -> None:
    # JCGM 100:2008, 4.3.7 (from memory): 0.40e-6 -> 0.231e-6
    assert rounded(rectangular(Decimal("0.40e-6")), "1e-9") == Decimal("0.231e-6")


def test_stated_uncertainties() -> None:
    # JCGM 100:2008, 4.3.3 (from memory): 240 µg at three standard deviations -> 80 µg
    assert from_expanded(Decimal(240), Decimal(3)) == 80
    # JCGM 100:2008, 4.3.4 (from memory): 129 µΩ at 99 %, so divided by 2.58 -> 50 µΩ
    assert rounded(from_expanded(Decimal(129), Decimal("2.58")), "1") == 50


def test_a_voltmeter_s_specification() -> None:
    # JCGM 100:2008, 4.3.7 example 2 with 5.1.5 (from memory): 14e-6 of reading and 2e-6 of the range of 1 V
    voltmeter = Accuracy(
        Decimal(0),
        Decimal(0),
        parse_quantity("1 µV"),
        ppm=Decimal(14),
        percent_of_range=Decimal("0.0002"),
        upto=parse_quantity("1 V"),
    )
    reading = parse_quantity("0.928571 V")
    limit = voltmeter.limit_of_error(reading).value
    of_meter = voltmeter.standard_uncertainty(reading).value
    combined = root_sum_of_squares([parse_quantity("12 µV").value, of_meter])
    assert rounded(limit, "1e-7") == Decimal("15.0e-6")
    assert rounded(of_meter, "1e-8") == Decimal("8.66e-6")
    assert rounded(combined, "1e-7") == Decimal("14.8e-6")


def test_an_end_gauge_s_components() -> None:
    # JCGM 100:2008, H.1 (from memory): 25, 9.7, 2.9 and 16.6 nm -> 32 nm
    assert rounded(root_sum_of_squares(map(Decimal, ("25", "9.7", "2.9", "16.6"))), "1") == 32


@pytest.mark.parametrize(
    ("reading", "accuracy", "expanded"),
    [
        # computed by hand: U = 2 · sqrt(a² + a_lead²) / √3
        ("0.4 Ω", FINE, "95 mΩ"),
        ("0.4 Ω", COARSE, "0.23 Ω"),
        ("0.52 Ω", FINE._replace(lead=LEAD), "0.13 Ω"),
        # 0.4 Ω on a coarse meter is ± 0.3 Ω
        ("0.52 Ω", COARSE._replace(lead=LEAD), "0.33 Ω"),
        ("23.4 Ω", FINE, "0.23 Ω"),
        ("0.1 Ω", FINE._replace(lead=LEAD), "0.13 Ω"),
    ],
)
def test_the_expanded_uncertainty_of_a_reading(reading: str, accuracy: Accuracy, expanded: str) -> None:
    assert accuracy.expanded_uncertainty(parse_quantity(reading)).text == expanded


@pytest.mark.parametrize(
    ("percent_of_range", "ppm", "limit"),
    [
        # as data sheets of bench meters state it, ± (ppm of reading + % of range), of 50 Ω on 100 Ω, by hand
        ("0", "0", "0"),
        ("0.004", "0", "0.004"),
        ("0", "100", "0.005"),
        ("0.004", "100", "0.009"),
    ],
)
def test_shares_of_reading_and_range_add_up(percent_of_range: str, ppm: str, limit: str) -> None:
    accuracy = Accuracy(
        Decimal(0),
        Decimal(0),
        parse_quantity("0.1 mΩ"),
        ppm=Decimal(ppm),
        percent_of_range=Decimal(percent_of_range),
        upto=parse_quantity("100 Ω"),
    )
    assert accuracy.limit_of_error(parse_quantity("50 Ω")).value == Decimal(limit)


def test_a_certificate_alone_and_beside_a_data_sheet() -> None:
    certificate = Certificate(parse_quantity("0.4 mΩ"), Decimal(2))
    alone = Accuracy(Decimal(0), Decimal(0), parse_quantity("0.01 mΩ"), certificate=certificate)
    # u = 0.4 mΩ / 2 and the rounding of the display, 0.01 mΩ / √12: together 0.20002 mΩ
    assert rounded(alone.standard_uncertainty(parse_quantity("1 Ω")).value, "1e-8") == Decimal("0.00020002")
    beside = FINE._replace(certificate=certificate)
    # sqrt((0.085 / √3)² + 0.0002²)
    assert rounded(beside.standard_uncertainty(parse_quantity("1 Ω")).value, "1e-8") == Decimal("0.04907518")


@given(READINGS, ACCURACIES)
def test_the_package_uncertainties_agrees(reading: Quantity, accuracy: Accuracy) -> None:
    theirs = within(reading.value, half_width(accuracy, reading))
    if accuracy.fixed < accuracy.step.value:
        theirs += within(Decimal(0), float(accuracy.step.value) / 2)
    if accuracy.certificate is not None:
        theirs += ufloat(0, float(accuracy.certificate.uncertainty.value) / float(accuracy.certificate.k))
    if accuracy.lead is not None:
        theirs -= within(accuracy.lead.value, half_width(accuracy, accuracy.lead))
    expanded = accuracy.expanded_uncertainty(reading)
    assert float(expanded.value) == pytest.approx(2 * theirs.std_dev, rel=1e-9, abs=1e-15)


@given(READINGS, ACCURACIES, st.floats(0, 1))
def test_errors_that_reading_and_leads_share_never_make_the_uncertainty_larger(
    reading: Quantity, accuracy: Accuracy, shared: float
) -> None:
    """The part of both limits that is the same error cancels in the difference; JCGM 100:2008, 5.2.2."""
    lead = plain(Decimal("0.12"), "Ω")
    parts = [half_width(accuracy, one) / sqrt(3) for one in (reading, lead)]
    correlated = ufloat_pair(parts[0], parts[1], shared)
    ours = accuracy._replace(lead=lead).standard_uncertainty(reading).value
    assert correlated <= float(ours) * (1 + 1e-9)


@given(READINGS, ACCURACIES, st.integers(1, 4).map(Decimal))
def test_the_expanded_uncertainty_is_k_times_the_standard_one(
    reading: Quantity, accuracy: Accuracy, k: Decimal
) -> None:
    standard = accuracy.standard_uncertainty(reading).value
    assert accuracy.expanded_uncertainty(reading, k).value == pytest.approx(
        k * standard, rel=Decimal("1e-26")
    )


@pytest.mark.parametrize(
    ("percent", "counts", "expected"),
    [
        # JCGM 100:2008, F.2.2.1: the rounding of a display with step s has u = 0.29 s
        ("0", "0", "0.029"),
        # half a count of 0.1, and the rounding: sqrt(0.05² + 0.05²) / √3
        ("0", "0.5", "0.041"),
        # from one count on, the data sheet covers the rounding: 0.1 / √3
        ("0", "1", "0.058"),
    ],
)
def test_less_than_one_count_does_not_cover_the_rounding_of_the_display(
    percent: str, counts: str, expected: str
) -> None:
    accuracy = Accuracy(Decimal(percent), Decimal(counts), parse_quantity("0.1 Ω"))
    assert rounded(accuracy.standard_uncertainty(parse_quantity("5 Ω")).value, "0.001") == Decimal(expected)


def test_an_open_reading_has_no_uncertainty() -> None:
    with pytest.raises(AccuracyError, match="an open reading has no uncertainty"):
        FINE.limit_of_error(parse_quantity("OL", "resistance"))


def test_an_accuracy_in_another_unit_is_refused() -> None:
    with pytest.raises(AccuracyError) as refused:
        FINE.standard_uncertainty(parse_quantity("5 V"))
    assert (
        str(refused.value)
        == "a meter range with steps of 0.01 Ω cannot show 5 V; name a range that reads in V"
    )
    with pytest.raises(AccuracyError) as refused:
        FINE._replace(lead=parse_quantity("1 mV")).standard_uncertainty(parse_quantity("5 Ω"))
    assert str(refused.value) == "leads of 1 mV do not fit steps of 0.01 Ω; give both in one unit"


def test_the_root_is_stated_to_28_digits() -> None:
    # √2, from tables
    assert root_sum_of_squares([Decimal(1), Decimal(1)]) == Decimal("1.414213562373095048801688724")
    assert root_sum_of_squares([]) == 0


def half_width(accuracy: Accuracy, reading: Quantity) -> float:
    """Compute the limit of error another way, in floats."""
    assert accuracy.upto is not None
    of_reading = float(accuracy.percent) / 100 + float(accuracy.ppm) / 1e6
    of_range = float(accuracy.percent_of_range) / 100 * float(accuracy.upto.value)
    return (
        abs(float(reading.value)) * of_reading
        + of_range
        + float(accuracy.counts) * float(accuracy.step.value)
    )


def within(value: Decimal, limit: float) -> Any:
    """Give a value known to within a rectangular limit; the package wants no deviation of exactly nothing."""
    return ufloat(float(value), limit / sqrt(3) or 1e-300)


def ufloat_pair(one: float, other: float, shared: float) -> float:
    """Give the standard deviation of a difference whose two terms share a part of their errors."""
    common = ufloat(0, 1)
    apart = (ufloat(0, 1), ufloat(0, 1))
    weight, rest = sqrt(shared), sqrt(1 - shared)
    difference = one * (weight * common + rest * apart[0]) - other * (weight * common + rest * apart[1])
    return float(difference.std_dev)


def rounded(value: Decimal, unit: str) -> Decimal:
    """Round a figure as the source does."""
    return value.quantize(Decimal(unit))
