"""The search for weak tests: which faults it plants, and what it says of them."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from typing import TYPE_CHECKING

import coverage
import pytest

from tests.mutants.__main__ import ROOMS, Room, row
from tests.mutants.covering import ROOT, Covering
from tests.mutants.equivalent import argued
from tests.mutants.planted import faults, planted

if TYPE_CHECKING:
    from pathlib import Path

ALTERED = {
    "comparison": ("return a < b <= c", {"a <= b <= c", "a < b < c", "return None"}),
    "arithmetic": ("x = a * b", {"a / b"}),
    "logic": ("x = a and b", {"a or b"}),
    "condition": ("x = 1.5 if a else b", {"1.5 if not a else b", "2.5"}),
    "true": ("x = True", {"False"}),
    "call": ("f(a)", {"None"}),
    "text, annotation and docstring": ("'what it does'\n  x: Literal[3] = 'a'\n  return None", set()),
    "text with a number in it": ("x = f'{a:.3f} {b + 1}'", set()),
    "function in a function": ("def inner(d=1):\n    return d", {"return None"}),
}


@pytest.mark.parametrize(("body", "expected"), ALTERED.values(), ids=ALTERED)
def test_what_is_altered_in_a_function(body: str, expected: set[str]) -> None:
    tree = ast.parse(f"LIMIT = 3\ndef f(a, b, c=2):\n  {body}\n")
    assert {fault.now for fault in faults(tree)} == expected


def test_a_tree_is_sound_again_after_a_fault() -> None:
    source = (ROOT / "jobkit/units/limit.py").read_text("utf-8")
    tree = ast.parse(source)
    for fault in list(faults(tree)):
        with planted(fault):
            assert ast.dump(tree) != ast.dump(ast.parse(source))
        assert ast.dump(tree) == ast.dump(ast.parse(source))


JUDGED = r"""
import gc, os, sys
from pathlib import Path
import pytest
from tests.mutants.judged import Module, failing, judge
from tests.mutants.planted import faults

folder = Path(sys.argv[1])
sys.path.insert(0, str(folder))
os.chdir(folder)
pytest.main(["--collect-only", "-qqq", "-p", "no:cacheprovider", "test_smaller.py"])
gc.freeze()
module = Module(folder / "smaller.py")
for fault in list(faults(module.tree)):
    tests = [r"test_smaller.py::test_smaller[\\x1b \u03a9]"] if fault.line < 11 else []
    verdict = judge(module, fault, tests)
    print(fault.was, "->", fault.now, "is", " by ".join(filter(None, verdict)))
print(failing([r"test_smaller.py::test_smaller[\\x1b \u03a9]", "test_smaller.py::test_wrong"]))
"""


def test_a_fault_is_found_by_a_test_that_fails_only(tmp_path: Path) -> None:
    (tmp_path / "smaller.py").write_text(
        "def kept(decorated):\n    return lambda *words: decorated(*words)\n\n"
        "@kept\ndef smaller(a, b):\n    c = 7\n    return a if a < b else b\n\n"
        "def never_run(a):\n\n    return a + 1\n",
        "utf-8",
    )
    (tmp_path / "test_smaller.py").write_text(
        "import pytest\nfrom smaller import smaller\n\n"
        "@pytest.mark.parametrize('one', ['\\\\x1b Ω'], ids=str)\n"
        "def test_smaller(one):\n    assert smaller(1, 2) == smaller(2, 1) == 1\n\n"
        "def test_wrong():\n    assert smaller(1, 2) == 2\n",
        "utf-8",
    )
    words = [sys.executable, "-P", "-c", JUDGED, str(tmp_path)]
    said = subprocess.run(
        words,
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert said.stdout.splitlines()[-8:] == [
        "return lambda *words: decorated(*words) -> return None is missed",  # it was decorated before
        "7 -> 8 is missed",
        "return a if a < b else b -> return None is found by test_smaller.py::test_smaller[\\x1b \\u03a9]",
        "a < b -> a <= b is missed",
        "return a + 1 -> return None is not run",
        "a + 1 -> a - 1 is not run",
        "1 -> 2 is not run",
        "['test_smaller.py::test_wrong']",
    ]


def test_the_tests_of_a_line_begin_with_those_that_are_about_it(tmp_path: Path) -> None:
    rules, others = tmp_path / "rules.py", tmp_path / "others.py"
    rules.write_text("def bake_hot(): ...\ndef bake(): ...\n", "utf-8")
    recorded = coverage.CoverageData(str(tmp_path / "recorded"))
    for test, of_rules, of_others in [
        ("is broad", [1, 2], range(90)),
        ("is narrow", [1], [1]),
        ("bake-hot, passes", [1], range(80)),
        ("bake-hot, is found", [1, 2], range(90)),
        ("bake-hot, is far", [1, 90], range(70)),
        ("bake-hot, another line", [2], [1]),
    ]:
        recorded.set_context(f"{test}|run")
        recorded.add_lines({str(rules): of_rules, str(others): list(of_others)})
    recorded.write()
    tests = Covering(tmp_path / "recorded").tests(rules, 1)
    assert tests == ["bake-hot, is found", "bake-hot, is far", "bake-hot, passes", "is narrow", "is broad"]


@pytest.mark.parametrize("known", argued(), ids="-".join)
def test_what_is_argued_to_be_the_same_can_still_be_planted(known: tuple[str, str, str]) -> None:
    file, was, now = known
    tree = ast.parse((ROOT / file).read_text("utf-8"))
    assert any((fault.was, fault.now) == (was, now) for fault in faults(tree))


def test_the_score_is_the_share_of_what_was_found_or_argued_among_those_drawn() -> None:
    verdicts = ["found"] * 5 + ["equivalent", "missed", "not run"]
    assert row("units", 90, 7, verdicts) == ["units", "90", "8", "7", "5", "1", "1", "1", "75.0%"]
    assert row("units", 8, None, verdicts)[3] == "all"


@pytest.mark.parametrize("room", ROOMS.values(), ids=ROOMS)
def test_what_a_room_names_is_there(room: Room) -> None:
    assert all((ROOT / path).exists() for path in (room.folder, *room.tests))
