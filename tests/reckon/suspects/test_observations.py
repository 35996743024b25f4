"""What was observed on a board: what counts, what is set aside, what contradicts itself."""

from __future__ import annotations

import pytest

from jobkit.book.read.board import read_design
from jobkit.book.read.load import document, load_job
from jobkit.jobs.bench import Bench
from jobkit.jobs.job import Job
from jobkit.reckon.suspects.candidates import Candidate
from jobkit.reckon.suspects.observations import Observations, observations_of
from tests.lint.laid import BOOK

CAUSES = (
    Candidate("U1 or its joints", "U1", 1.0, {"1L": 0.9, "VMEM resistance low": 0.2}),
    Candidate("dry paste", None, 1.0, {"load run": 0.5}),
    Candidate("something else", None, 1.0, {"load run": 0.5, "picture": 0.5}),
)


def bench() -> Bench:
    doc, _ = document((BOOK / "boards/wick-w1.toml").read_bytes())
    assert doc is not None
    return Bench(designs={"wick-w1": read_design("boards/wick-w1.toml", doc)[0]})


def job(entries: str) -> Job:
    text = (
        'format = 1\nid = "K26-0001"\nclient = "c-1"\ntitle = "t"\n[board]\nkind = "graphics card"\n'
        'design = "wick-w1"\n[intake]\ncomplaint = "c"\n[dates]\nreceived = 2026-09-01\n'
    )
    loaded = load_job("jobs/2026/K26-0001.toml", f"{text}{entries}".encode())
    assert loaded.troubles == ()
    assert loaded.job is not None
    return loaded.job


def observed(entries: str) -> Observations:
    return observations_of(job(entries), bench(), CAUSES)


def at(hour: int | None) -> str:
    return "" if hour is None else f"at = 2026-10-05T{hour:02}:00:00\n"


def reading(
    value: str, hour: int | None = 10, kind: str = "resistance", point: str = "VMEM", more: str = ""
) -> str:
    state = "" if "state" in more else 'state = "cold"\n'
    return f'[[reading]]\n{at(hour)}point = "{point}"\nkind = "{kind}"\nvalue = "{value}"\n{state}{more}'


def seen(check: str, failed: str = "", passed: str = "", hour: int | None = 10) -> str:
    return f'[[seen]]\n{at(hour)}check = "{check}"\nfailed = [{failed}]\npassed = [{passed}]\n'


def trial(run: str, result: str, hour: int | None = 10) -> str:
    return f'[[trial]]\n{at(hour)}run = "{run}"\nresult = "{result}"\n'


def work(did: str, part: str = "", hour: int | None = 11) -> str:
    named = f'part = "{part}"\n' if part else ""
    return f'[[work]]\n{at(hour)}did = "{did}"\n{named}'


COUNTED = {
    "within": (
        reading("23 Ω"),
        [("VMEM resistance outside", False, "VMEM resistance 23 Ω, within its limit")],
    ),
    "on its lower end": (
        reading("10 Ω"),
        [("VMEM resistance outside", False, "VMEM resistance 10 Ω, within its limit")],
    ),
    "below": (reading("9.9 Ω"), [("VMEM resistance low", True, "VMEM resistance 9.9 Ω, low")]),
    "above": (reading("61 Ω"), [("VMEM resistance high", True, "VMEM resistance 61 Ω, high")]),
    "open, above its limit": (reading("OL"), [("VMEM resistance high", True, "VMEM resistance OL, high")]),
    "should be open": (
        reading("61 Ω", more='limit = "OL"\n'),
        [("VMEM resistance low", True, "VMEM resistance 61 Ω, low")],
    ),
    "below the one end that it has": (
        reading("100 Ω", point="V12"),
        [("V12 resistance low", True, "V12 resistance 100 Ω, low")],
    ),
    "of no limit": (reading("1.35 V", kind="voltage"), []),
    "against another point": (
        reading("5 Ω", more='to = "V12"\nlimit = ">= 9 Ω"\n'),
        [("VMEM to V12 resistance low", True, "VMEM to V12 resistance 5 Ω, low")],
    ),
    "channels": (
        seen("memory test", '"1L"', '"2L"'),
        [("1L", True, "1L failed"), ("2L", False, "2L passed")],
    ),
    "a check that covers something": (seen("picture", '"boots"'), [("boots", True, "boots failed")]),
    "a check of its own name": (
        seen("fan turns", '"fan turns"'),
        [("fan turns", True, "fan turns failed")],
    ),
    "a check of its own name, with what it found": (
        seen("smell", '"burnt"'),
        [("smell", True, "smell failed")],
    ),
    "a check of its own name, passed": (seen("smell", passed='"fresh"'), [("smell", False, "smell passed")]),
    "a check that shows nothing": (seen("smell"), []),
    "a part that the eye saw": (
        seen("eye", '"U1: cracked"'),
        [("U1 seen damaged", True, "U1: cracked failed"), ("eye", True, "eye failed")],
    ),
    "trials": (
        trial("load run", "fail") + trial("picture", "pass") + trial("warm restart", "stopped"),
        [("load run", True, "load run failed"), ("picture", False, "picture passed")],
    ),
    "an injection": (
        '[[inject]]\nrail = "V12"\nvolts = "1 V"\nhottest = "Q1, top left"\n',
        [("Q1 warms first", True, "Q1 warms first, with current into V12")],
    ),
    "an injection that warmed nothing": ('[[inject]]\nrail = "V12"\nvolts = "1 V"\n', []),
    "the last of three, whatever comes first in the file": (
        trial("picture", "fail", 12) + trial("picture", "pass", 11) + trial("picture", "pass", None),
        [("picture", True, "picture failed")],
    ),
}


@pytest.mark.parametrize(("entries", "expected"), COUNTED.values(), ids=COUNTED)
def test_what_counts(entries: str, expected: list[tuple[str, bool, str]]) -> None:
    found = observed(entries).counted
    assert [(one.symptom.name, one.failed, one.words) for one in found] == expected


FAILED, PASSED = trial("picture", "fail", 10), trial("picture", "pass", 12)
CONTRADICTED = {
    "no work between": (FAILED + PASSED, True),
    "work between": (FAILED + PASSED + work("reflow", "U2"), False),
    "work at the time of the first": (FAILED + PASSED + work("reflow", "U2", 10), False),
    "work at the time of the second": (FAILED + PASSED + work("reflow", "U2", 12), False),
    "work before": (FAILED + PASSED + work("reflow", "U2", 9), True),
    "work after": (FAILED + PASSED + work("reflow", "U2", 13), True),
    "work at no known time": (FAILED + PASSED + work("reflow", "U2", None), False),
    "a look between": (FAILED + PASSED + work("inspect"), True),
    "one at no known time": (trial("picture", "fail", None) + PASSED, False),
    "the same twice": (FAILED + trial("picture", "fail", 12), False),
}


@pytest.mark.parametrize(("entries", "expected"), CONTRADICTED.values(), ids=CONTRADICTED)
def test_contradictions(entries: str, *, expected: bool) -> None:
    found = observed(entries).contradictions
    assert [(one.earlier.failed, one.later.failed) for one in found] == [(True, False)] * expected


MEMORY = seen("memory test", '"1L"')
ASIDE = {
    "the part was replaced": (MEMORY + work("swap", "U1"), ["1L"]),
    "and it was tested again": (MEMORY + work("swap", "U1") + seen("memory test", '"1L"', hour=12), []),
    "it was cleaned": (MEMORY + work("clean", "U1"), ["1L"]),
    "it was looked at": (MEMORY + work("inspect", "U1"), []),
    "at that minute": (MEMORY + work("swap", "U1", 10), []),
    "before": (MEMORY + work("swap", "U1", 9), []),
    "at no known time": (MEMORY + work("swap", "U1", None), []),
    "seen at no known time": (seen("memory test", '"1L"', hour=None) + work("swap", "U1"), []),
    "another part was": (MEMORY + work("swap", "U2"), []),
    "another channel failed": (seen("memory test", '"2L"') + work("swap", "U1"), []),
    "it had passed": (seen("memory test", "", '"1L"') + work("swap", "U1"), []),
    "new paste, where dry paste could have caused it": (
        trial("load run", "fail") + work("thermal"),
        ["load run"],
    ),
    "new paste, where it could not": (trial("picture", "fail") + work("thermal"), []),
    "cleaned, no part named": (trial("load run", "fail") + work("clean"), []),
}


@pytest.mark.parametrize(("entries", "expected"), ASIDE.values(), ids=ASIDE)
def test_what_is_set_aside(entries: str, expected: list[str]) -> None:
    found = observed(entries)
    assert [one.observed.symptom.name for one in found.set_aside] == expected
    assert not {one.symptom.name for one in found.counted} & set(expected)


def test_names_that_the_board_file_does_not_have() -> None:
    entries = seen("memory test", '"9L", "1L", "U1 hot"', '"8L"') + seen("picture", '"snow"')
    assert observed(entries).unknown == ("9L", "snow")
