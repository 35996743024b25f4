"""Sequences of work as a careful bench does them, which must raise nothing, and careless ones, which must.

A line is a time in October 2026 and what happened: `read POINT VALUE [STATE]`, `try RUN`, `see CHECK`, `inject RAIL
VOLTS HOTTEST`, `pad PART BALL CARRIES DAMAGE [REPAIRED [READS]]`, else a piece of work with its part and minutes. The
design is wick-w1 of tests/lint/book: U1 hangs on VMEM, U10 on VCORE, Q1 makes VCORE from V12; boards cool for twenty
minutes. Which sequences are careful is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.lint.laid import found_in, lay

RULES = {"resistance-before-power", "reading-while-warm", "pad-open", "inject-volts", "supply-into-core"}

HEAD = """\
format = 1
id = "K26-0101"
client = "c-007"
title = "A board"
board = { kind = "graphics card", design = "wick-w1" }
intake = { complaint = "No picture" }
"""

COLD = """
read VCORE 0.40 Ω cold
read VMEM 23.4 Ω cold
read V12 3160 Ω cold"""


def cold(time: str) -> str:
    return COLD.replace("\n", f"\n{time} ")


CAREFUL = {
    "power on arrival, before anything was soldered": "05T10:00 try picture",
    "solder, cool, read, power": f"08T10:00 fit U1 20 {cold('08T10:40')}\n08T10:41 try picture",
    "read and powered in the same minute": f"08T10:00 fit U1 20 {cold('08T10:40')}\n08T10:40 try picture",
    "two parts, one set of readings": "08T10:00 fit U1 20\n08T10:30 reflow Q1 20"
    f"{cold('08T11:30')}\n08T12:00 try picture",
    "the part off, the rails read, power without it": f"08T10:00 remove Q1 20 {cold('08T10:50')}\n08T11:00 try picture",
    "out, cleaned, in, power": "08T10:00 fit U1 20\n08T10:45 read VMEM 2.1 Ω cold\n08T10:50 clean U1 10"
    f"{cold('08T11:00')}\n08T11:10 try picture",
    "how cold was left out": "08T10:00 fit U1 20\n08T10:45 read VMEM 23 Ω\n08T10:46 read VCORE 0.4 Ω\n"
    "08T10:47 read V12 3160 Ω\n08T11:00 try picture",
    "a fan": "08T10:00 swap FAN1 20\n08T10:21 read VMEM 23 Ω cold\n08T10:30 try picture",
    "paste and a clean": "08T10:00 thermal - 20\n08T10:20 clean - 10\n08T10:31 read VMEM 23 Ω cold\n"
    "08T10:32 try picture",
    "a look through the glass after soldering": "08T10:00 fit U1 20\n08T10:30 see eye, 20 times",
    "a package balled off the board": "08T10:00 reball U1 40\n08T10:41 read VMEM 23 Ω cold\n08T10:45 try picture",
    "said to be warm": "08T10:00 fit U1 20\n08T10:21 read VMEM 22 Ω warm",
    "exactly cooled": "08T10:00 fit U1 20\n08T10:40 read VMEM 23 Ω cold",
    "a temperature and a voltage near heat": "08T10:00 prepare U1 20\n08T10:05 read U10 81 °C",
    "the oven over night, read at noon": "07T18:00 bake - 14h\n08T12:00 read VMEM 23 Ω cold",
    "repaired and read before the part": "08T09:00 pad U1 B4 data torn-off wire 0.2 Ω\n08T10:00 fit U1 20",
    "nothing runs over it": "08T09:00 pad U1 A1 no-connect torn-off left-open\n08T10:00 fit U1 20",
    "only the mask is gone": "08T09:00 pad U1 A1 data mask-gone\n08T10:00 fit U1 20",
    "torn when the part came off again": "08T10:00 fit U1 20\n08T12:00 remove U1 20\n08T12:30 pad U1 B4 data torn-off",
    "left as it is, and no part fitted": "08T10:00 remove U1 20\n08T10:30 pad U1 B4 data torn-off",
    "another part fitted": "08T10:30 pad U1 B4 data torn-off\n08T11:00 fit Q1 20",
    "as much as VCORE bears into V12": "05T10:00 read VCORE 0.4 Ω cold\n05T10:20 inject V12 1.0 C7",
    "as much as the rail bears, from which none is made": "05T10:20 inject VMEM 1.35 U1",
    "the core read on the day of the quote": "06T16:00 read VCORE 0.4 Ω cold\n05T10:20 inject V12 0.5 Q1",
    "the short was no switch": "05T10:20 inject V12 0.5 C7",
}

CARELESS = {
    "power first": ("08T10:00 fit U1 20\n08T10:30 try picture", "resistance-before-power"),
    "only the rails of the policy": (
        "08T10:00 fit U20 20 " + cold("08T10:40") + "\n08T10:50 see picture",
        "resistance-before-power",
    ),
    "read before, not after": (
        f"{cold('08T09:00')}\n08T10:00 fit U1 20\n08T11:00 try picture",
        "resistance-before-power",
    ),
    "read after power": (
        f"08T10:00 fit U1 20\n08T11:00 try picture {cold('08T12:00')}",
        "resistance-before-power",
    ),
    "out, and power all the same": (
        f"08T10:00 fit U1 20 {cold('08T10:45')}\n08T10:50 read VMEM 2.1 Ω cold\n08T11:00 try picture",
        "resistance-before-power",
    ),
    "soldered again, and not read again": (
        f"08T10:00 fit U1 20 {cold('08T10:45')}\n08T11:00 try picture\n08T12:00 reflow U1 10\n08T13:00 try picture",
        "resistance-before-power",
    ),
    "a voltage is power": ("08T10:00 swap Q1 20\n08T11:00 read VMEM 1.35 V", "resistance-before-power"),
    "one minute early": ("08T10:00 fit U1 20\n08T10:39 read VMEM 23 Ω cold", "reading-while-warm"),
    "the oven still warm": ("07T18:00 bake - 14h\n08T08:10 read VMEM 23 Ω cold", "reading-while-warm"),
    "not repaired": ("08T09:00 pad U1 B4 data torn-off\n08T10:00 fit U1 20", "pad-open"),
    "repaired, not read": ("08T09:00 pad U1 B4 data torn-off film\n08T10:00 swap U1 20", "pad-open"),
    "repaired, and open": ("08T09:00 pad U1 B4 ground lifted epoxy OL\n08T10:00 fit U1 20", "pad-open"),
    "above VCORE into V12": ("05T10:00 read VCORE 0.4 Ω cold\n05T10:20 inject V12 1.01 C7", "inject-volts"),
    "above the rail itself": ("05T10:20 inject V5 5.5 U20", "inject-volts"),
    "the core read a day late": (
        "07T10:00 read VCORE 0.4 Ω cold\n05T10:20 inject V12 0.5 Q1",
        "supply-into-core",
    ),
}


def job(sequence: str) -> str:
    entries = "\n".join(entry for line in sequence.strip().splitlines() for entry in _entry(line.strip()))
    return f"{HEAD}dates = {{ received = 2026-10-05, quoted = 2026-10-06, agreed = 2026-10-07 }}\n{entries}\n"


def _entry(line: str) -> Iterator[str]:
    time, verb, *words = line.split(" ")
    at = f"at = 2026-10-{time}:00"
    if verb == "read":
        point, number, *rest = words
        unit, state = (*rest, "")[:2]
        kind = {"Ω": "resistance", "V": "voltage", "°C": "temperature"}[unit]
        yield f'[[reading]]\n{at}\npoint = "{point}"\nkind = "{kind}"\nvalue = "{number} {unit}"'
        yield f'state = "{state}"' if state else ""
    elif verb == "try":
        yield f'[[trial]]\n{at}\nrun = "{" ".join(words)}"\nresult = "pass"'
    elif verb == "see":
        yield f'[[seen]]\n{at}\ncheck = "{" ".join(words)}"'
    elif verb == "inject":
        yield f'[[inject]]\n{at}\nrail = "{words[0]}"\nvolts = "{words[1]} V"\nhottest = "{words[2]}"'
    elif verb == "pad":
        yield f"[[pad]]\n{at}"
        values = (*words[:5], " ".join(words[5:]))
        yield from (f'{key} = "{value}"' for key, value in zip(PAD, values, strict=False) if value)
    else:
        part, long = words[:2]
        yield f'[[work]]\n{at}\ndid = "{verb}"' + (f'\npart = "{part}"' if part != "-" else "")
        yield f"hours = {long[:-1]}" if long.endswith("h") else f"minutes = {long}"


PAD = ("part", "ball", "carries", "damage", "repaired", "reads")


def rules(tmp_path: Path, sequence: str) -> set[str]:
    found = found_in(lay(tmp_path / "book", {"jobs/2026/K26-0101.toml": job(sequence)}))
    assert "schema" not in {one.rule for one in found}, found
    return {one.rule for one in found} & RULES


@pytest.mark.parametrize("sequence", CAREFUL.values(), ids=CAREFUL)
def test_careful_work_raises_nothing(tmp_path: Path, sequence: str) -> None:
    assert rules(tmp_path, sequence) == set()


@pytest.mark.parametrize(("sequence", "rule"), CARELESS.values(), ids=CARELESS)
def test_careless_work_is_found(tmp_path: Path, sequence: str, rule: str) -> None:
    assert rules(tmp_path, sequence) == {rule}


def test_a_board_without_policy_and_design_is_left_to_the_bench(tmp_path: Path) -> None:
    text = job("08T10:00 swap U1 20\n08T10:30 try picture")
    text = text.replace("graphics card", "sound card").replace(', design = "wick-w1"', "")
    assert found_in(lay(tmp_path / "book", {"jobs/2026/K26-0101.toml": text})) == ()


def test_without_a_board_file_the_policy_stands_alone(tmp_path: Path) -> None:
    text = job(
        f"08T10:00 swap U1 20 {cold('08T10:45')}\n08T11:00 try picture\n"
        "08T12:00 swap U1 20\n08T13:00 try picture"
    )
    text = text.replace(', design = "wick-w1"', "")
    (found,) = found_in(lay(tmp_path / "book", {"jobs/2026/K26-0101.toml": text}))
    assert found.rule == "resistance-before-power"
    assert "VCORE, VMEM and V12" in found.message


READ = "08T10:00 fit U1 20\n08T10:25 read VMEM 22 Ω"
"""Five minutes after the heat; the board of these tests cools for twenty."""


@pytest.mark.parametrize(
    ("sequence", "state", "rule", "mend"),
    [
        (READ, "warm", "limit-missing", "read it cold, as the limit in the board file asks, or add limit"),
        (READ, "cold", "reading-while-warm", "read it again after 10:40"),
        (
            "08T10:00 read VMEM 22 Ω",
            "",
            "limit-missing",
            'say state = "cold" if it was read so, or add limit',
        ),
        (
            "08T10:00 read VMEM 1.35 V",
            "cold",
            "limit-missing",
            "add limit, or give the point a limit for this manner of reading in the board file",
        ),
        (
            "08T10:00 read VCORE 0.9 V",
            "cold",
            "limit-missing",
            "read it under power, as the limit in the board file asks",
        ),
    ],
    ids=["warm", "cold too early", "state left out", "no limit at all", "power"],
)
def test_a_proof_reading_gets_one_cure_that_leads_on_to_no_other_finding(
    tmp_path: Path, sequence: str, state: str, rule: str, mend: str
) -> None:
    text = job(f"{sequence} {state}".rstrip()).replace("[[reading]]", '[[reading]]\nstage = "proof"')
    found = found_in(lay(tmp_path / "book", {"jobs/2026/K26-0101.toml": text}))
    (one,) = [one for one in found if one.rule in {"limit-missing", "reading-while-warm"}]
    assert (one.rule, one.mend.startswith(mend)) == (rule, True), one
