"""What a design, a meter or a range works out once: right, and forgotten by a changed copy."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.design import Design, Memory, Point, PointLimit, Rail
from jobkit.jobs.duration import Duration
from jobkit.jobs.meter import Meter, Range
from jobkit.units.quantity import plain

KINDS = st.sampled_from(["resistance", "voltage", None])
NAMES = st.sampled_from(["VCORE", "VMEM", "V12", None])
LIMITS = st.builds(PointLimit, st.just(()), KINDS, st.sampled_from(["cold", None]))
POINTS = st.lists(
    st.builds(Point, st.just(()), NAMES, limits=st.lists(LIMITS, max_size=4).map(tuple)), max_size=5
)
RANGES = st.lists(
    st.builds(
        Range,
        st.integers(0, 9).map(lambda row: ("range", row)),
        KINDS,
        st.one_of(st.none(), st.sampled_from([1, 2, 20, 200]).map(lambda end: plain(Decimal(end), "Ω"))),
        four_wire=st.booleans(),
    ),
    max_size=6,
)


@given(POINTS, NAMES, KINDS)
def test_a_name_means_the_first_point_that_has_it_and_its_limits_come_in_their_order(
    points: list[Point], name: str | None, kind: str | None
) -> None:
    design = Design("boards/a.toml", "a", points=tuple(points))
    point = next((one for one in points if one.name == name), None)
    assert design.point(name) is point
    assert design.limits(name, kind) == tuple(
        limit for limit in (point.limits if point else ()) if limit.kind == kind
    )


@given(ranges=RANGES, kind=st.sampled_from(["resistance", "voltage"]), four_wire=st.booleans())
def test_the_ranges_that_serve_come_the_finest_first(
    ranges: list[Range], kind: str, *, four_wire: bool
) -> None:
    serving = Meter((), "dmm", ranges=tuple(ranges)).serving(kind, four_wire=four_wire)
    fit = [one for one in ranges if one.kind == kind and one.four_wire == four_wire and one.upto]
    assert list(serving) == sorted(fit, key=lambda one: one.upto.value if one.upto else 0)


def test_a_changed_design_answers_anew() -> None:
    design = Design("boards/a.toml", "a", rails=(Rail((), "V12", feeds=("U1",)),), points=(Point((), "V12"),))
    assert design.all_parts() == {"U1"}
    assert (design.channels(), design.point("VMEM")) == ((), None)
    changed = design._replace(
        rails=(), parts=("U9",), memory=(Memory((), "U5", ("1L",)),), points=(Point((), "VMEM"),)
    )
    assert changed.all_parts() == {"U9", "U5"}
    assert changed.channels() == ("1L",)
    assert (changed.point("V12"), changed.point("VMEM")) == (None, Point((), "VMEM"))
    assert design.all_parts() == {"U1"}


def test_a_changed_meter_answers_anew() -> None:
    one = Range((), "resistance", plain(Decimal(220), "Ω"))
    meter = Meter((), "dmm", date(2026, 3, 2), Duration(12), (one,))
    assert meter.calibrated_until == date(2027, 3, 2)
    assert meter.serving("resistance", four_wire=False) == (one,)
    changed = meter._replace(calibrated=date(2026, 9, 2), ranges=(one._replace(four_wire=True),))
    assert changed.calibrated_until == date(2027, 9, 2)
    assert changed.serving("resistance", four_wire=False) == ()


def test_a_changed_range_answers_anew() -> None:
    one = Range((), "resistance", plain(Decimal(220), "Ω"), lead=plain(Decimal("0.12"), "Ω"))
    assert (one.reach, one.lead_in_reading, one.errors) == (Decimal(220), one.lead, None)
    changed = one._replace(upto=plain(Decimal(22), "Ω"), four_wire=True)
    assert (changed.reach, changed.lead_in_reading) == (Decimal(22), None)


def test_what_was_asked_makes_no_difference_to_equality() -> None:
    one, other = (Design("boards/a.toml", "a", parts=("U1",)) for _ in range(2))
    assert one.all_parts() == {"U1"}
    assert one == other
    assert hash(one) == hash(other)
    assert repr(one) == repr(other)
