"""What a finding is about, which a waiver names, and the figures and words in its message."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.lint.laid import example, found_in, lay

RULES = Path(__file__).parent.parent / "rules"
NO_SLIP = ("", "")
FINISHED = "finished = 2026-10-09"
UNDECIDED = "the board is {}, and the outcome is missing"

# An example of tests/rules, a piece of it and what is written there instead; about what the finding is, its message.
MESSAGES: dict[str, tuple[str, tuple[str, str], str, str]] = {
    "a bake that was too short": (
        "bake-short/bad-1",
        NO_SLIP,
        "U1",
        "U1 was fitted on 2026-10-20, but it was baked on 2026-10-19 for 5 h at 125 °C, and level 3 needs 9 h there",
    ),
    "a bake that was too cool": (
        "bake-short/bad-1",
        ('oven = "125 °C"', 'oven = "30 °C"'),
        "U1",
        "U1 was fitted on 2026-10-20, but it was baked on 2026-10-19 for 5 h at 30 °C, and nothing dries below 40 °C",
    ),
    "a wait that ends before it begins": (
        "wait-order/bad.toml",
        NO_SLIP,
        "parts",
        "until 2026-10-12 is before since 2026-10-22",
    ),
    "a wait before the board was here": (
        "wait-order/bad-2.toml",
        NO_SLIP,
        "parts",
        "since 2026-09-30 is before the board was received (2026-10-05)",
    ),
    "a trial with a short log": (
        "trial-log-short/bad-1",
        NO_SLIP,
        "load run",
        'the trial "load run" claims 30 min, and its log shows 12 min under load',
    ),
    "a memory log that cannot be read": (
        "memory-log-unread/bad-1",
        NO_SLIP,
        "memory.csv",
        (
            "memory.csv cannot be read as a memory log: line 1: no column is named written; columns of the log: "
            "Lane, Pattern, Result; state which column is written: "
            'columns = { "written" = "HEADING" } under [logs.memory] in bench.toml'
        ),
    ),
    "a limit in another unit": (
        "limit-mismatch/bad.toml",
        NO_SLIP,
        "VMEM",
        'limit ">= 11.4 V" is in V, and resistance is in Ω',
    ),
    "finished": ("outcome-missing/bad.toml", NO_SLIP, "outcome", UNDECIDED.format("finished")),
    "collected": (
        "outcome-missing/bad.toml",
        (FINISHED, f"{FINISHED}\npaid = 2026-10-10\ncollected = 2026-10-10"),
        "outcome",
        UNDECIDED.format("collected"),
    ),
    "sent": (
        "outcome-missing/bad.toml",
        (FINISHED, f"{FINISHED}\npaid = 2026-10-10\nsent = 2026-10-10"),
        "outcome",
        UNDECIDED.format("sent"),
    ),
}


@pytest.mark.parametrize(("place", "slip", "about", "message"), MESSAGES.values(), ids=MESSAGES)
def test_about_and_message(
    tmp_path: Path, place: str, slip: tuple[str, str], about: str, message: str
) -> None:
    files = {path: text.replace(*slip) if slip[0] else text for path, text in example(RULES / place).items()}
    assert any(slip[1] in text for text in files.values())
    rule = place.partition("/")[0]
    found = [(one.about, one.message) for one in found_in(lay(tmp_path / "book", files)) if one.rule == rule]
    assert found == [(about, message)]
