"""The state of each part over the stays of a board, and the sites with removal alloy on them."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.jobs.digest import facts_of
from jobkit.jobs.entries import Used, Work
from jobkit.jobs.job import Intake, Job
from jobkit.reckon.heat.part_places import left_off, left_off_by, off_the_board
from jobkit.reckon.heat.part_states import AGAIN, DONOR, FITTED, NEW, OFF, off_in, part_states
from jobkit.reckon.heat.removal_alloy import alloy_left, sites_to_clean

BEGIN = datetime(2026, 10, 8, 9, 0)


def stay(number: int, *done: str, used: str = "", missing: str = "") -> Job:
    """Make a stay of words like "remove U3" and "fit U3 new", an hour apart; `used` is "U3 K26-0016" or empty."""
    work = tuple(_work(number, place, *words.split()) for place, words in enumerate(done))
    part, _, source = used.partition(" ")
    took = (Used(("used", 0), part=part, source=source),) if used else ()
    condition = (f"{missing} missing",) if missing else ()
    return Job("", f"K26-000{number}", work=work, used=took, intake=Intake(condition=condition))


def _work(day: int, hour: int, did: str, part: str, came: str | None = None) -> Work:
    return Work(("work", hour), at=BEGIN + timedelta(days=day, hours=hour), did=did, part=part, came=came)


STATES = {
    "nothing was moved": ([stay(1, "clean U3")], {}),
    "off": ([stay(1, "remove U3")], {"U3": (OFF, "K26-0001", "")}),
    "new": ([stay(1, "remove U3", "fit U3 new")], {"U3": (NEW, "K26-0001", "")}),
    "the same again": ([stay(1, "remove U3", "fit U3 same")], {"U3": (AGAIN, "K26-0001", "")}),
    "from a donor": (
        [stay(1, "swap U3 donor", used="U3 K26-0016")],
        {"U3": (DONOR, "K26-0001", "K26-0016")},
    ),
    "the part used tells the donor": (
        [stay(1, "swap U3", used="U3 K26-0016")],
        {"U3": (DONOR, "K26-0001", "K26-0016")},
    ),
    "a part used is not a new package": ([stay(1, "swap U3", used="U3 stock")], {"U3": (FITTED, "K26-0001", "")}),
    "missing on arrival": ([stay(1, missing="C7")], {"C7": (OFF, "", "")}),
    "missing, then fitted": ([stay(1, "fit C7 new", missing="C7")], {"C7": (NEW, "K26-0001", "")}),
    "off since the stay before": (
        [stay(1, "remove U3", "remove U4"), stay(2, "fit U4 new")],
        {"U3": (OFF, "K26-0001", ""), "U4": (NEW, "K26-0002", "")},
    ),
    "off two stays ago": (
        [stay(1, "remove U3"), stay(2, "remove U4"), stay(3, "clean U3")],
        {"U3": (OFF, "K26-0001", ""), "U4": (OFF, "K26-0002", "")},
    ),
    "fitted here, and missing when it came back": (
        [stay(1, "swap U3 new"), stay(2, missing="U3")], {"U3": (OFF, "", "")},
    ),
    "a donor's package, fitted again in a later stay": (
        [stay(1, "swap U3 donor", used="U3 K26-0016"), stay(2, "remove U3", "fit U3 same")],
        {"U3": (AGAIN, "K26-0002", "K26-0016")},
    ),
    "a donor's package, replaced in a later stay": (
        [stay(1, "swap U3 donor", used="U3 K26-0016"), stay(2, "swap U3 new"), stay(3, "swap U3 same")],
        {"U3": (AGAIN, "K26-0003", "")},
    ),
    "a fan is no soldered part": ([stay(1, "remove FAN1")], {}),
}  # fmt: skip


@pytest.mark.parametrize(("stays", "expected"), STATES.values(), ids=STATES)
def test_states(stays: list[Job], expected: dict[str, tuple[str, str, str]]) -> None:
    found = {part: (one.word, one.job, one.donor) for part, one in part_states(stays).items()}
    assert found == expected
    left = left_off_by(map(facts_of, stays))
    assert left.keys() == off_in(part_states(stays))
    assert all(found[part][1] in {"", job} for part, job in left.items())


ALLOY = {
    "cleaned": (("remove U1 a", "prepare U1", "fit U1"), [], {}),
    "not cleaned yet": (("remove U1 a",), [], {"U1": "Sn42Bi58"}),
    "fitted on it": (("remove U1 a", "fit U1"), [("fit", "remove")], {}),
    "found once": (("remove U1 a", "fit U1", "reflow U1"), [("fit", "remove")], {}),
    "a swap of its own": (("swap U1 a",), [("swap", "swap")], {}),
    "another site was cleaned": (("remove U1 a", "prepare U2", "reflow U1"), [("reflow", "remove")], {}),
    "the whole board was cleaned": (("remove U1 a", "remove U2 a", "prepare -", "fit U1"), [], {}),
    "without alloy": (("remove U1", "fit U1"), [], {}),
}


@pytest.mark.parametrize(("done", "left", "to_clean"), ALLOY.values(), ids=ALLOY)
def test_removal_alloy(done: tuple[str, ...], left: list[tuple[str, str]], to_clean: dict[str, str]) -> None:
    work = [_with_alloy(hour, *words.split()) for hour, words in enumerate(done)]
    for order in (work, work[::-1]):
        assert [(one.fitting.did, one.removal.did) for one in alloy_left(order)] == left
        assert sites_to_clean(order) == to_clean


def _with_alloy(hour: int, did: str, part: str, alloy: str = "") -> Work:
    made = _work(1, hour, did, part)
    return made._replace(part=None if part == "-" else part, removal_alloy="Sn42Bi58" if alloy else None)


_DONE = st.lists(
    st.tuples(
        st.sampled_from(["remove", "fit", "swap", "prepare", "reflow"]),
        st.sampled_from(["U1", "U2"]),
        st.booleans(),
    ),
    max_size=10,
)


@given(_DONE)
def test_what_is_off_is_what_the_moves_leave_off(done: list[tuple[str, str, bool]]) -> None:
    job = stay(1, *(f"{did} {part}" for did, part, _ in done))
    assert off_in(part_states([job])) == set(off_the_board(job.work)) == left_off(job.work)


@given(_DONE)
def test_a_site_is_clean_after_it_was_prepared_and_alloy_is_told_once(
    done: list[tuple[str, str, bool]],
) -> None:
    work = [
        _with_alloy(hour, did, part, "a" if alloy else "") for hour, (did, part, alloy) in enumerate(done)
    ]
    used = sum(bool(one.removal_alloy) and one.did in {"remove", "swap"} for one in work)
    assert len(list(alloy_left(work))) + len(sites_to_clean(work)) <= used
    cleaned = [*work, _with_alloy(99, "prepare", "-")]
    assert sites_to_clean(cleaned) == {}
    assert list(alloy_left(cleaned)) == list(alloy_left(work))
