"""More than a hundred broken books, each giving exactly the findings it should, at the very line and column.

What the findings say is in tests/golden/broken.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest

from jobkit.jobs.finding import LEVELS
from jobkit.lint.rules.catalogue import all_rules
from tests.lint.broken_books import Broken, Expected, broken_books, unmarked
from tests.lint.laid import found_in, lay
from tests.lint.said import file_name, said

BOOKS = tuple(broken_books())


def test_the_book_that_they_break_is_sound(tmp_path: Path) -> None:
    assert found_in(lay(tmp_path / "book", {})) == ()


@pytest.mark.parametrize("broken", BOOKS, ids=lambda broken: broken.name)
def test_a_broken_book_has_the_findings_it_should(
    broken: Broken, tmp_path: Path, golden: Callable[[str, str], None]
) -> None:
    found = found_in(lay(tmp_path / "book", broken.files))
    got = sorted(Expected(one.file, one.line, one.column, one.level, one.rule) for one in found)
    assert got == list(broken.expected), "\n".join(
        f"{one.file}:{one.line}: {one.rule}: {one.message}" for one in found
    )
    golden(f"broken/{file_name(broken.name)}", said(found))
    order = [
        (one.file, one.line, one.column, LEVELS.index(one.level), one.rule, one.message) for one in found
    ]
    assert order == sorted(order), "by file, place and gravity, whatever the order of the rules"
    assert all(one.line >= 1 and one.column >= 1 for one in found)


def test_there_are_a_hundred_of_them_and_each_rule_is_found_in_two() -> None:
    assert len(BOOKS) >= 100
    times = Counter(rule for broken in BOOKS for rule in {one.rule for one in broken.expected})
    assert {rule for rule in all_rules() if times[rule] < 2} == set()


def test_combinations_are_among_them() -> None:
    combined = [broken for broken in BOOKS if len({one.rule for one in broken.expected}) > 1]
    assert len(combined) >= 20


def test_marks_are_told_to_the_character() -> None:
    text, marks = unmarked("a\n  «date-order»b «note schema»«id-twice»c", "f")
    assert text == "a\n  b c"
    assert marks == [
        Expected("f", 2, 3, "error", "date-order"),
        Expected("f", 2, 5, "note", "schema"),
        Expected("f", 2, 5, "error", "id-twice"),
    ]
