"""A name is found by as little of it as tells it from the others, in any case."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobkit.jobs.naming import NamingError, UnknownNameError, named

POINTS = ["VCORE", "VMEM", "VMEM2", "V12", "V12P3", "PG1"]


@pytest.mark.parametrize(
    ("word", "name"),
    [("VMEM", "VMEM"), ("vmem", "VMEM"), ("v12", "V12"), ("vc", "VCORE"), ("p", "PG1"), ("v12p", "V12P3")],
)
def test_a_name_may_be_cut_short(word: str, name: str) -> None:
    assert named(word, POINTS, "point") == name


@pytest.mark.parametrize(
    ("word", "message", "mend"),
    [
        ("vm", '"vm" could be VMEM or VMEM2', "type more of it"),
        ("vmen", '"vmen" is not a point', 'write "VMEM"'),
        ("fan", '"fan" is not a point', "there are VCORE, VMEM, VMEM2, V12, V12P3, PG1"),
        ("", '"" is not a point', "there are"),
    ],
)
def test_a_name_that_is_none_or_several_is_refused(word: str, message: str, mend: str) -> None:
    with pytest.raises(NamingError) as refused:
        named(word, POINTS, "point")
    assert refused.value.message == message
    assert mend in refused.value.mend


def test_names_that_differ_by_case_alone_are_told_apart_by_it() -> None:
    assert named("a", ["a", "A"], "point") == "a"


def test_where_there_are_no_names_that_is_said() -> None:
    with pytest.raises(UnknownNameError, match="there is no meter yet"):
        named("dmm", [], "meter of meters.toml")


@settings(deadline=None)
@given(st.lists(st.text(min_size=1, max_size=6), min_size=1, max_size=8, unique=True), st.data())
def test_every_name_finds_itself(names: list[str], data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(names))
    assert named(name, names, "point") == name
