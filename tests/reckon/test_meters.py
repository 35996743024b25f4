"""Readings seen through their meters."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from math import sqrt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from jobkit.jobs.duration import parse_duration
from jobkit.jobs.meter import Meter
from jobkit.reckon.readings.meters import (
    Method,
    correct_reading,
    kind_on,
    overdue,
    same_display,
    uncertainty_bound,
)
from jobkit.units.quantity import parse_quantity, plain
from tests.reckon.readings import COARSE, METERS, a_range, meter

FOUR = meter("mohm-1", a_range("resistance", "2 Ω", "0.2 3 0.1 mΩ", "0.12 Ω", four_wire=True))
BOTH = meter(
    "both",
    a_range("resistance", "20 Ω", "0.1 2 1 mΩ", "0.2 Ω"),
    a_range("resistance", "2 Ω", "0.2 3 0.1 mΩ", four_wire=True),
)
SHELF = {**METERS, "mohm-1": FOUR, "both": BOTH, "bare": meter("bare")}


def _end(value: str, method: Method) -> str | None:
    corrected = correct_reading(parse_quantity(value, method.kind), method, SHELF)
    return corrected.range.upto.text if corrected.range and corrected.range.upto else None


@pytest.mark.parametrize(
    ("value", "method", "end"),
    [
        ("0.43 Ω", Method("resistance", "dmm-1"), "220 Ω"),
        ("220 Ω", Method("resistance", "dmm-1"), "220 Ω"),  # the very end still fits
        ("220.01 Ω", Method("resistance", "dmm-1"), "22 kΩ"),
        (
            "0.43 Ω",
            Method("resistance", "dmm-1", "22 kΩ"),
            "22 kΩ",
        ),  # named, though a finer one would hold it
        ("0.43 Ω", Method("resistance", "dmm-1", "22000 Ω"), "22 kΩ"),  # named in another prefix
        ("OL", Method("resistance", "dmm-1"), "22 kΩ"),  # beyond the widest
        ("OL", Method("resistance", "dmm-1", "220 Ω"), "220 Ω"),
        ("1.2 Ω", Method("resistance", "both"), "20 Ω"),
        ("1.2 Ω", Method("resistance", "both", four_wire=True), "2 Ω"),
        ("1.2 Ω", Method("resistance"), None),
        ("1.2 Ω", Method("resistance", "dmm-7"), None),
        ("1.2 Ω", Method("resistance", "bare"), None),
    ],
    ids=str,
)
def test_the_range_a_value_was_read_on(value: str, method: Method, end: str | None) -> None:
    assert _end(value, method) == end


def test_a_negative_value_is_held_by_its_size() -> None:
    dmm = meter("dmm", a_range("voltage", "2 V", "0.5 3 1 mV"), a_range("voltage", "20 V", "0.5 3 10 mV"))
    corrected = correct_reading(parse_quantity("-12 V"), Method("voltage", "dmm"), {"dmm": dmm})
    assert corrected.range == dmm.ranges[1]
    assert corrected.uncertainty is not None
    # ± (0.5 % of 12 V + 3 × 10 mV) = 90 mV, rectangular, k = 2
    assert float(corrected.uncertainty.value) == pytest.approx(2 * 0.090 / sqrt(3), rel=1e-12)


@pytest.mark.parametrize(
    ("value", "method", "missing", "mend"),
    [
        ("25 kΩ", Method("resistance", "dmm-1"), "dmm-1 cannot show 25 kΩ", "add the range"),
        ("230 Ω", Method("resistance", "dmm-1", "220 Ω"), "ends at 220 Ω", "correct the value"),
        ("1 Ω", Method("resistance", "dmm-1", "2 kΩ"), "no resistance range up to 2 kΩ", "220 Ω, 22 kΩ"),
        ("1 Ω", Method("resistance", "dmm-1", "2 V"), "2 V", ""),
        ("1 V", Method("voltage", "dmm-1"), "no range of voltage", "correct the meter"),
        ("1 Ω", Method("resistance", "dmm-1", four_wire=True), "no four-wire range", "leave out four_wire"),
        ("1 Ω", Method("resistance", "mohm-1"), "with four wires only", "four_wire = true"),
    ],
    ids=str,
)
def test_what_a_meter_cannot_have_shown_is_amiss(value: str, method: Method, missing: str, mend: str) -> None:
    corrected = correct_reading(parse_quantity(value, method.kind), method, SHELF)
    assert corrected.range_error
    assert missing in corrected.uncertainty_missing
    assert mend in corrected.mend
    assert corrected.mend
    assert corrected.value == corrected.shown
    assert corrected.uncertainty is None


@pytest.mark.parametrize(
    ("value", "method", "missing"),
    [
        ("1 Ω", Method("resistance"), "no meter is named"),
        ("1 Ω", Method("resistance", "dmm-7"), "dmm-7 is not in meters.toml"),
        ("1 Ω", Method("resistance", "bare"), "no ranges of bare are stated"),
        ("OL", Method("resistance", "dmm-1"), "an open reading has no uncertainty"),
    ],
    ids=str,
)
def test_what_is_not_known_is_said_and_no_fault(value: str, method: Method, missing: str) -> None:
    corrected = correct_reading(parse_quantity(value, method.kind), method, SHELF)
    assert (corrected.uncertainty_missing, corrected.range_error, corrected.uncertainty) == (
        missing,
        False,
        None,
    )


def test_leads_are_taken_off_where_the_range_states_them() -> None:
    corrected = correct_reading(parse_quantity("0.43 Ω"), Method("resistance", "dmm-1"), METERS)
    assert (corrected.shown.text, corrected.value.text, corrected.lead and corrected.lead.text) == (
        "0.43 Ω",
        "0.31 Ω",
        "0.12 Ω",
    )
    # Worked by hand: ± (0.5 % of 0.43 Ω + 8 × 0.01 Ω) = 0.08215 Ω; of the leads ± 0.0806 Ω; both rectangular.
    shown, leads = ufloat(0.43, 0.08215 / sqrt(3)), ufloat(0.12, 0.0806 / sqrt(3))
    oracle = shown - leads
    assert corrected.uncertainty is not None
    assert float(corrected.value.value) == pytest.approx(oracle.nominal_value, abs=1e-12)
    assert float(corrected.uncertainty.value) == pytest.approx(2 * oracle.std_dev, rel=1e-12)


def test_four_wires_have_no_leads_in_the_reading_whatever_the_range_says() -> None:
    corrected = correct_reading(
        parse_quantity("41.6 mΩ"), Method("resistance", "mohm-1", four_wire=True), SHELF
    )
    assert (corrected.value.value, corrected.lead) == (Decimal("0.0416"), None)
    assert corrected.uncertainty is not None
    # ± (0.2 % of 41.6 mΩ + 3 × 0.1 mΩ) = 0.3832 mΩ
    assert float(corrected.uncertainty.value) == pytest.approx(2 * 0.0003832 / sqrt(3), rel=1e-12)


def test_leads_come_off_even_where_no_accuracy_is_stated() -> None:
    rough = meter("rough", a_range("resistance", "200 Ω", "", "0.3 Ω"))
    corrected = correct_reading(parse_quantity("1.0 Ω"), Method("resistance", "rough"), {"rough": rough})
    assert (corrected.value.value, corrected.uncertainty) == (Decimal("0.7"), None)
    assert corrected.uncertainty_missing == "no accuracy is stated for rough up to 200 Ω"


def test_a_claim_of_no_error_leaves_the_last_digit() -> None:
    # Zero accuracy: half a step is left, rectangular (JCGM 100:2008, F.2.2.1); k = 2.
    proud = meter("proud", a_range("voltage", "2 V", "0 0 1 mV"))
    corrected = correct_reading(parse_quantity("1.000 V"), Method("voltage", "proud"), {"proud": proud})
    assert corrected.uncertainty is not None
    assert float(corrected.uncertainty.value) == pytest.approx(2 * 0.0005 / sqrt(3), rel=1e-12)


@given(
    st.decimals("0.01", "219", places=2),
    st.decimals("0.1", "3", places=2),
    st.integers(1, 20),
    st.decimals("0.01", "0.5", places=2),
    st.sampled_from([1, 2, 3]),
)
def test_the_package_uncertainties_agrees(
    value: Decimal, percent: Decimal, counts: int, lead: Decimal, k: int
) -> None:
    dmm = meter("dmm", a_range("resistance", "220 Ω", f"{percent} {counts} 0.01 Ω", f"{lead} Ω"))
    corrected = correct_reading(plain(value, "Ω"), Method("resistance", "dmm"), {"dmm": dmm}, Decimal(k))

    def limit(shown: Decimal) -> float:
        return float(shown * percent / 100 + counts * Decimal("0.01"))

    oracle = ufloat(float(value), limit(value) / sqrt(3)) - ufloat(float(lead), limit(lead) / sqrt(3))
    assert corrected.value.value == value - lead
    assert corrected.uncertainty is not None
    assert float(corrected.uncertainty.value) == pytest.approx(k * oracle.std_dev, rel=1e-9)
    assert corrected.k == k


@given(
    st.decimals("-219", "219", places=2),
    st.decimals("0", "3", places=2),
    st.decimals("0", "20", places=1),
    st.decimals("0", "0.5", places=2),
    st.sampled_from([1, 2, 3]),
)
def test_the_quick_figure_is_never_below_the_uncertainty(
    value: Decimal, percent: Decimal, counts: Decimal, lead: Decimal, k: int
) -> None:
    dmm = meter("dmm", a_range("resistance", "220 Ω", f"{percent} {counts} 0.01 Ω", f"{lead} Ω"))
    corrected = correct_reading(plain(value, "Ω"), Method("resistance", "dmm"), {"dmm": dmm}, Decimal(k))
    assert corrected.uncertainty is not None
    assert corrected.range is not None
    bound = uncertainty_bound(corrected.shown, corrected.range, Decimal(k))
    assert bound is not None
    assert float(corrected.uncertainty.value) < bound


def test_values_share_a_display_only_on_one_range_of_one_known_meter() -> None:
    def corrected(value: str, name: str | None) -> Any:
        return correct_reading(parse_quantity(value), Method("resistance", name), SHELF)

    assert same_display([corrected("1 Ω", "dmm-1"), corrected("200 Ω", "dmm-1")])
    assert not same_display([corrected("1 Ω", "dmm-1"), corrected("300 Ω", "dmm-1")])
    assert not same_display([corrected("1 Ω", "dmm-1"), corrected("1 Ω", "dmm-2")])
    assert not same_display([corrected("1 Ω", None), corrected("2 Ω", None)])
    assert not same_display([])


def test_a_volt_is_read_as_what_the_meter_has() -> None:
    scope = meter("scope", a_range("ripple", "500 mV"))
    assert kind_on(scope, parse_quantity("15 mV")) == "ripple"
    assert kind_on(COARSE, parse_quantity("15 mV")) == "voltage"


@pytest.mark.parametrize(
    ("calibrated", "every", "until"),
    [
        ("2026-03-02", "P1Y", "2027-03-02"),
        ("2024-02-29", "P1Y", "2025-02-28"),  # clamped (python-dateutil agrees, see the tests of durations)
        ("2026-01-31", "P1M", "2026-02-28"),
        (None, "P1Y", None),
        ("2026-03-02", None, None),
        ("2026-03-02", "P9999Y", None),  # past the calendar: never
    ],
)
def test_the_last_day_of_a_calibration(calibrated: str | None, every: str | None, until: str | None) -> None:
    one = Meter(
        ("meter", 0),
        "dmm",
        date.fromisoformat(calibrated) if calibrated else None,
        parse_duration(every) if every else None,
    )
    assert one.calibrated_until == (date.fromisoformat(until) if until else None)


def test_a_calibration_holds_on_its_last_day_and_nothing_is_known_before_it() -> None:
    one = Meter(("meter", 0), "dmm", date(2026, 3, 2), parse_duration("P1Y"))
    assert not overdue(one, date(2027, 3, 2))
    assert overdue(one, date(2027, 3, 3))
    assert not overdue(one, date(2020, 1, 1))
