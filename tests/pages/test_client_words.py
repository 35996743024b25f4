"""What the client's paper says of work, pads and endings."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from jobkit.jobs.cautions import CAUTIONS
from jobkit.jobs.entries import Inject, Pad, Seen, Trial, Used, Work
from jobkit.jobs.job import OUTCOMES, Comeback, Dates, Fate, Job
from jobkit.pages.client.phrases import (
    inject_words,
    pad_words,
    seen_words,
    source_words,
    trial_words,
    work_words,
)
from jobkit.pages.client.reading_phrases import KINDS
from jobkit.pages.client.report_endings import ending
from jobkit.pages.language.language import ENGLISH
from jobkit.reckon.client.cautions import cautions
from jobkit.units.kinds import KINDS as ALL_KINDS
from jobkit.units.quantity import parse_quantity
from tests.schema.schemas import schema

PLACE = ("work", 0)

WORK: list[tuple[dict[str, Any], str]] = [
    ({"did": "inspect"}, "inspected the board"),
    ({"did": "inspect", "what": "final inspection"}, "final inspection"),
    ({"did": "clean", "part": "U1"}, "cleaned U1"),
    ({"did": "remove", "part": "Q214", "alloy": "SAC305"}, "took off Q214"),
    ({"did": "prepare", "part": "U1"}, "cleaned and prepared the place of U1"),
    (
        {"did": "fit", "part": "Q214", "came": "new", "alloy": "SAC305"},
        "fitted a new Q214, with SAC305 solder",
    ),
    ({"did": "fit", "part": "U1", "came": "same"}, "fitted the same U1 again"),
    ({"did": "fit", "part": "U6", "came": "donor"}, "fitted U6 from a donor board"),
    ({"did": "fit", "part": "U6"}, "fitted U6"),
    ({"did": "reball", "part": "U1"}, "put new solder balls on U1"),
    ({"did": "reflow", "part": "U1"}, "reflowed the solder joints of U1"),
    ({"did": "swap", "part": "C4", "came": "new"}, "replaced C4 by a new one"),
    (
        {"did": "rebuild-pads", "part": "U1", "what": "six of them"},
        "rebuilt the pads under U1 (six of them)",
    ),
    ({"did": "bake", "hours": Decimal("24.0")}, "dried the board in the oven for 24 hours"),
    ({"did": "thermal"}, "replaced thermal pads and paste"),
    ({"did": "other", "what": "bent the bracket straight"}, "bent the bracket straight"),
    ({}, "worked on the board"),
]


@pytest.mark.parametrize(("fields", "words"), WORK, ids=[words for _, words in WORK])
def test_work_in_plain_words(fields: dict[str, Any], words: str) -> None:
    assert work_words(Work(PLACE, **fields)) == words


def test_every_kind_of_work_and_of_reading_has_words() -> None:
    did = schema("job")["$defs"]["work"]["properties"]["did"]["enum"]
    assert {fields["did"] for fields, _ in WORK if fields} == set(did)
    assert set(KINDS) == set(ALL_KINDS)


# Names of the procedures of IPC-7711/7721, revision C, from a copy. Which pads are those of a ball grid is told by
# their names, by row and column, as in JEDEC JEP95 (from memory).
PADS = [
    ("B4", "torn-off", "film", "4.7.3"),
    ("AB12", "lifted", "film", "4.7.3"),
    ("B4", "torn-off", "wire", ""),  # 6.2.1, jumper wires, is for changes of a circuit, not for a torn pad
    ("4", "lifted", "epoxy", "4.5.1"),
    ("4", "lifted", "film", "4.5.2"),
    ("4", "torn-off", "epoxy", "4.7.1"),
    ("4", "torn-off", "film", "4.7.2"),
    ("B4", "torn-off", "epoxy", ""),
    ("4", "torn-off", "wire", ""),
    ("4", "mask-gone", "epoxy", ""),
    ("B4", "torn-off", "left-open", ""),
    ("tab", "lifted", "film", ""),
    (None, "lifted", "film", ""),
]


@pytest.mark.parametrize(("ball", "damage", "repaired", "procedure"), PADS)
def test_a_procedure_is_named_only_where_it_is_certain(
    ball: str | None, damage: str, repaired: str, procedure: str
) -> None:
    words = pad_words(Pad(PLACE, part="U1", ball=ball, damage=damage, repaired=repaired))
    assert ("IPC-7711/7721" in words) == bool(procedure)
    assert procedure in words


def test_a_pad_in_plain_words() -> None:
    reads = parse_quantity("0.3 Ω")
    wired = Pad(PLACE, part="U1", ball="B4", damage="torn-off", repaired="wire", reads=reads)
    assert pad_words(wired) == (
        "pad B4 of U1 was torn off and was replaced by a fine wire; after that it measured 0.3 Ω"
    )
    idle = Pad(PLACE, ball="K1", damage="mask-gone", repaired="left-open", carries="no-connect")
    assert pad_words(idle) == (
        "pad K1 had lost its cover and was left as it is, because nothing runs over it"
    )
    assert pad_words(Pad(PLACE)) == "a pad was damaged and is not repaired"
    torn = Pad(PLACE, part="U1", ball="B4", damage="torn-off", repaired="film", side="package")
    assert pad_words(torn) == "pad B4 on the package of U1 was torn off and was bonded with film"
    assert pad_words(torn._replace(repaired=None)) == "pad B4 on the package of U1 was torn off"


def test_what_was_seen_and_tried_in_plain_words() -> None:
    assert seen_words(Seen(PLACE, check="memory test", passed=("1L",), failed=("2L", "2H"))) == (
        "memory test; not good: 2L, 2H; good: 1L"
    )
    assert seen_words(Seen(PLACE, check="eye")) == "eye; nothing found"
    assert seen_words(Seen(PLACE, check="memory test", log="m.csv")) == "memory test; no result noted"
    assert inject_words(Inject(PLACE, rail="V12", hottest="Q214")).endswith("Q214 warmed up first")
    trial = Trial(
        PLACE, run="load run", minutes=Decimal(30), result="stopped", host="bench 2", cold_start=True
    )
    assert trial_words(trial) == ("load run", "30 min", "in bench 2, from cold", "stopped early")
    assert [
        source_words(Used(PLACE, source=source)) for source in (None, "bought", "client", "K26-0016")
    ] == [
        "our stock",
        "bought for this board",
        "yours",
        "a donor board",
    ]


@pytest.mark.parametrize("month", range(1, 13))
def test_a_day_in_full_is_that_of_the_c_locale(month: int) -> None:
    """The oracle is strftime, whose names are English in the C locale that tests run in."""
    day = date(2026, month, 9)
    assert ENGLISH.formats.long_day(day) == day.strftime("9 %B %Y")


def _ended(outcome: str | None, **more: Any) -> Job:
    return Job("", "K26-0001", outcome=outcome, dates=Dates(finished=date(2026, 11, 1)), **more)


def test_each_ending_has_wording_of_its_own() -> None:
    endings = {ending(_ended(outcome)) for outcome in (*OUTCOMES, None)} | {ending(Job("", "K26-0001"))}
    assert len(endings) == len(OUTCOMES) + 2
    found = schema("job")["$defs"]["comeback"]["properties"]["found"]["enum"]
    comebacks = {ending(_ended("repaired", comeback=Comeback("K26-0000", each))) for each in found}
    assert len(comebacks) == len(found)


@pytest.mark.parametrize(
    ("fate", "words"),
    [
        (Fate("returned", owner_agreed=False), ""),
        (Fate("kept-for-parts", owner_agreed=True), "With your agreement, we keep it"),
        (Fate("kept-for-parts", owner_agreed=False), "If you agree, we keep it"),
        (Fate("recycled", owner_agreed=True), "With your agreement, it goes to electronic waste"),
    ],
)
def test_the_paper_never_claims_an_agreement_that_was_not_given(fate: Fate, words: str) -> None:
    said = ending(_ended("beyond-repair", fate=fate))
    assert words in said
    assert ("With your agreement" in said) == fate.owner_agreed


CAUTIONED = {
    "any board": ({"outcome": "repaired"}, "static mains"),
    "a fan": ({"outcome": "repaired", "title": "Fan grinds"}, "static mains fan"),
    "no fan in a fanfare": ({"outcome": "repaired", "title": "Fanfare"}, "static mains"),
    "new pads": ({"outcome": "repaired", "work": (Work(PLACE, did="thermal"),)}, "static mains cooler"),
    "leaded solder": (
        {"outcome": "repaired", "work": (Work(PLACE, did="fit", alloy="Sn63Pb37"),)},
        "static mains lead",
    ),
    "no lead in SAC": (
        {"outcome": "repaired", "work": (Work(PLACE, did="fit", alloy="SAC305"),)},
        "static mains",
    ),
    "a lithium cell": ({"outcome": "repaired", "title": "Backup battery flat"}, "static mains lithium"),
    "nothing found": ({"outcome": "no-fault-found"}, "static mains again"),
    "not repaired": ({"outcome": "declined"}, "unproved static mains"),
    "beyond repair": ({"outcome": "beyond-repair"}, "unproved static mains"),
    "kept": ({"outcome": "beyond-repair", "fate": Fate("kept-for-parts", owner_agreed=True)}, ""),
}


@pytest.mark.parametrize(("fields", "names"), CAUTIONED.values(), ids=CAUTIONED)
def test_cautions_fit_what_was_done(fields: dict[str, Any], names: str) -> None:
    found = cautions(Job("", "K26-0001", **fields))
    assert " ".join(found) == names
    assert all(CAUTIONS[name].client for name in found)
