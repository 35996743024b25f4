"""Cautions: each names its source, and is said where its act is near."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from jobkit.jobs.bench import Bench
from jobkit.jobs.cautions import (
    BEFORE_INJECTION,
    BEFORE_POWER,
    BEFORE_SOLDERING,
    CAUTIONS,
    LITHIUM,
    OVEN,
    REMOVAL_ALLOY,
    Caution,
)
from jobkit.jobs.entries import Inject, Reading, Trial, Work
from jobkit.jobs.job import Intake, Job
from jobkit.jobs.settings import Proof, Settings
from jobkit.pages.cautions import caution_lines, caution_sentence
from jobkit.reckon.progress.near_acts import near_entry, near_power
from jobkit.units.quantity import parse_quantity

README = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
NEW = Job("", "K26-0001")
REMOVED = NEW._replace(work=(Work((), did="remove", part="U1", removal_alloy="Sn42Bi58"),))
POWERED = NEW._replace(trials=(Trial((), run="picture"),))


@pytest.mark.parametrize("one", CAUTIONS.values(), ids=CAUTIONS)
def test_each_caution_names_its_source_and_is_said_somewhere(one: Caution) -> None:
    assert one.source
    assert one.bench or one.client
    section = " ".join(README.partition("\n## Cautions\n")[2].partition("\n## ")[0].split()).casefold()
    assert not one.bench or one.bench.casefold() in section


NEAR: dict[str, tuple[Job, str, dict[str, Any], tuple[Caution, ...]]] = {
    "the first removal": (NEW, "work", {"did": "remove"}, BEFORE_SOLDERING),
    "the first removal with an alloy": (
        NEW,
        "work",
        {"did": "remove", "removal_alloy": "Sn42Bi58"},
        (*BEFORE_SOLDERING, REMOVAL_ALLOY),
    ),
    "the first removal on a board with a cell": (
        NEW._replace(intake=Intake(condition=("a coin cell beside U9",))),
        "work",
        {"did": "remove"},
        (*BEFORE_SOLDERING, LITHIUM),
    ),
    "the second removal": (REMOVED, "work", {"did": "remove", "removal_alloy": "Sn42Bi58"}, ()),
    "a fitting after a removal": (REMOVED, "work", {"did": "fit"}, ()),
    "an inspection": (NEW, "work", {"did": "inspect"}, ()),
    "the first bake": (NEW, "work", {"did": "bake"}, (OVEN,)),
    "the first injection": (NEW, "inject", {}, BEFORE_INJECTION),
    "the second injection": (NEW._replace(injections=(Inject(()),)), "inject", {}, ()),
    "a trial, which has had its power": (NEW, "trial", {}, ()),
    "a price": (NEW, "price", {}, ()),
}


@pytest.mark.parametrize(("job", "sort", "entry", "expected"), NEAR.values(), ids=NEAR)
def test_cautions_near_an_entry(
    job: Job, sort: str, entry: dict[str, Any], expected: tuple[Caution, ...]
) -> None:
    assert near_entry(job, sort, entry) == expected


def _read(state: str) -> Reading:
    kind, value = ("resistance", "9 Ω") if state == "cold" else ("voltage", "12 V")
    return Reading((), point="V12", kind=kind, state=state, value=parse_quantity(value))


def test_power_is_near_at_the_reading_that_allows_it_and_at_the_first_under_power() -> None:
    proof = {"graphics card": Proof(cold_resistance=("V12",))}
    bench = Bench(settings=Settings(proof=proof))
    board = NEW._replace(board=NEW.board._replace(kind="graphics card"))
    cold = board._replace(readings=(_read("cold"),))
    powered = cold._replace(readings=(_read("cold"), _read("powered")))
    assert near_power(board, cold, bench) == BEFORE_POWER
    assert near_power(cold, powered, bench) == BEFORE_POWER
    assert near_power(cold, cold._replace(readings=(_read("cold"),) * 2), bench) == ()
    assert near_power(powered, powered, bench) == ()
    tried = POWERED._replace(board=board.board)
    assert near_power(tried, tried._replace(readings=(_read("cold"),)), bench) == ()


def test_lines_and_sentence_defer_to_local_rules() -> None:
    lines = list(caution_lines(BEFORE_POWER))
    assert len(lines) == len(BEFORE_POWER) + 1
    assert lines[0] == f"caution: {BEFORE_POWER[0].bench}"
    assert lines[-1] == (
        "(common practice, no source, where no standard is named) Local rules and licensed practice come first."
    )
    assert list(caution_lines(())) == []
    assert caution_sentence(BEFORE_SOLDERING).endswith("Local rules and licensed practice come first.")
    assert "(ANSI/ESD S20.20-2021, IEC 61340-5-1)" in caution_sentence(BEFORE_SOLDERING)
