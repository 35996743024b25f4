"""What is suggested for a name that no file of the book knows."""

from __future__ import annotations

import pytest

from jobkit.lint.rules.nearest import suggest

LONG = "A" * 59 + "B"
MANY = [f"R{number}" for number in range(9)]
SUGGESTED: dict[str, tuple[str, list[str], str]] = {
    "one near": ("VMEN", ["VCORE", "VMEM", "V12"], 'write "VMEM"'),
    "three as near": ("dmm-9", ["dmm-1", "dmm-2", "dmm-3"], 'write "dmm-1", "dmm-2" or "dmm-3"'),
    "four as near": (
        "dmm-9",
        ["dmm-1", "dmm-2", "dmm-3", "dmm-4"],
        'write "dmm-1", "dmm-2" or "dmm-3"',
    ),
    "in capitals": ("vmem", ["VMEM"], 'write "VMEM"'),
    "only its end is right": ("XCORE", ["VCORE", "V12"], 'write "VCORE"'),
    "seven letters, six in ten alike": ("VMEMxyz", ["VMEMab"], 'write "VMEMab"'),
    "eight letters, six in ten alike": ("VMEMxyzw", ["VMEMa"], "see there; known names: VMEMa"),
    "none near": ("fan", ["VCORE", "V12"], "see there; known names: V12, VCORE"),
    "nothing known": ("fan", [], "see there"),
    "eight known": ("fan", MANY[:8], f"see there; known names: {', '.join(MANY[:8])}"),
    "nine known": ("fan", MANY, f"see there; known names: {', '.join(MANY[:8])} and others"),
    "as long as a name": (LONG[1:] + "C", [LONG], f'write "{LONG}"'),
    "longer than a name": (LONG + "C", [LONG], f"see there; known names: {LONG}"),
    "a known one that is longer": (LONG, [LONG + "C"], f"see there; known names: {LONG}C"),
}


@pytest.mark.parametrize(("word", "known", "said"), SUGGESTED.values(), ids=SUGGESTED)
def test_what_is_suggested_for_a_name(word: str, known: list[str], said: str) -> None:
    assert suggest(word, known, "see there") == said
