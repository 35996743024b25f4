"""What changed in the bench's own files, told by key."""

from __future__ import annotations

from typing import Any

import pytest
import rtoml

from jobkit.jobs.history import OwnFileChange
from jobkit.reckon.changes.own_files import own_changes

BOARD = """\
design = "alder-a1"
[[rail]]
name = "VMEM"
nominal = "1.35 V"
feeds = ["U1"]
[[point]]
name = "VMEM"
[[point.limit]]
kind = "resistance"
limit = "10 Ω .. 60 Ω"
[[point.limit]]
kind = "voltage"
limit = "1.35 V ± 3 %"
"""


def told(before: str, after: str) -> list[str]:
    file_change = OwnFileChange("boards/alder-a1.toml", rtoml.loads(before), rtoml.loads(after))
    return [f"{change.how} {change.words}" for change in own_changes(file_change)]


CHANGES = {
    "a value": ("1.35 V", "1.30 V", ["changed rail VMEM: nominal 1.30 V (was 1.35 V)"]),
    "a list": ('["U1"]', '["U1", "U2"]', ["changed rail VMEM: feeds U1, U2 (was U1)"]),
    "a list that is empty now": ('["U1"]', "[]", ["changed rail VMEM: feeds nothing (was U1)"]),
    "a limit": (
        "10 Ω .. 60 Ω",
        "10 Ω .. 70 Ω",
        ["changed point VMEM, limit resistance: limit 10 Ω .. 70 Ω (was 10 Ω .. 60 Ω)"],
    ),
    "a key at the top": ('"alder-a1"', '"alder-a2"', ["changed design alder-a2 (was alder-a1)"]),
    "a new key": ('feeds = ["U1"]', 'feeds = ["U1"]\ncore = true', ["changed rail VMEM: core yes"]),
    "a key that is gone": ('feeds = ["U1"]\n', "", ["changed rail VMEM: feeds U1 removed"]),
    "a new table": (
        "[[point]]",
        '[[rail]]\nname = "V12"\nnominal = "12 V"\n[[point]]',
        ["added rail V12: name V12; nominal 12 V"],
    ),
    "a table that is gone": (
        '[[point.limit]]\nkind = "voltage"\nlimit = "1.35 V ± 3 %"\n',
        "",
        ["removed point VMEM, limit voltage: kind voltage removed; limit 1.35 V ± 3 % removed"],
    ),
    "remarks only": ("[[point]]", "# the coil\n[[point]]", ["changed comments or layout"]),
    "order only": (
        'name = "VMEM"\nnominal = "1.35 V"',
        'nominal = "1.35 V"\nname = "VMEM"',
        ["changed comments or layout"],
    ),
}


@pytest.mark.parametrize(("old", "new", "expected"), CHANGES.values(), ids=CHANGES)
def test_each_change_is_told_at_its_place(old: str, new: str, expected: list[str]) -> None:
    assert told(BOARD, BOARD.replace(old, new, 1)) == expected


def test_tables_without_a_name_of_their_own_go_by_number() -> None:
    two = "[[x]]\na = 1\n[[x]]\na = 2\n"
    assert told(two, two.replace("2", "3")) == ["changed x 2: a 3 (was 2)"]
    twins = '[[x]]\nname = "t"\na = 1\n[[x]]\nname = "t"\na = 2\n'
    assert told(twins, twins.replace("2", "3")) == ["changed x 2: a 3 (was 2)"]


WHOLE: dict[str, tuple[dict[str, Any], str]] = {
    "new": ({"before": None, "after": {}, "came": True}, "added new in the book"),
    "gone": ({"before": {}, "after": None, "went": True}, "removed removed from the book"),
    "broken": ({"before": {}, "after": None}, "changed the file cannot be read as TOML"),
    "mended": ({"before": None, "after": {"a": 1}}, "added a 1"),
}


@pytest.mark.parametrize(("fields", "expected"), WHOLE.values(), ids=WHOLE)
def test_a_whole_file(fields: dict[str, Any], expected: str) -> None:
    assert [
        f"{change.how} {change.words}" for change in own_changes(OwnFileChange("stock.toml", **fields))
    ] == [expected]
