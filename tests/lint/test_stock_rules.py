"""What the rules of the shelf say in a check of the whole book, and what where only single files are."""

from __future__ import annotations

from pathlib import Path

import pytest

from jobkit.lint.run.whole_book import lint
from tests.lint.laid import example, lay, opened

RULES = Path(__file__).parent.parent / "rules"


@pytest.mark.parametrize(
    ("place", "rule"),
    [
        ("stock-negative/bad.toml", "stock-negative"),
        ("donor-twice/bad-1", "donor-twice"),
        ("donor-twice/bad-2", "donor-twice"),
        ("donor-fate/bad.toml", "donor-fate"),
        ("donor-unknown/bad.toml", "donor-unknown"),
    ],
)
def test_a_job_by_itself_is_told_what_the_whole_book_is(tmp_path: Path, place: str, rule: str) -> None:
    book = opened(lay(tmp_path / "book", example(RULES / place)))
    assert [one.rule for one in lint(book).findings] == [rule]
    alone = lint(book, wanted=lambda path: path.endswith("K26-0101.toml"))
    assert [one.rule for one in alone.findings] == [rule]


def test_every_part_below_none_is_told_once_an_item(tmp_path: Path) -> None:
    one = example(RULES / "stock-negative/bad.toml")
    (text,) = one.values()
    files = {f"jobs/2026/K26-01{n:02}.toml": text.replace("K26-0101", f"K26-01{n:02}") for n in range(1, 4)}
    findings = lint(opened(lay(tmp_path / "book", files))).findings
    # 14 were counted and 43 taken: the first entry that takes the last one is named, and no other.
    assert [(each.file, each.message) for each in findings] == [
        ("jobs/2026/K26-0101.toml", "14 of stage-50a counted on 2026-09-30, and 43 taken since")
    ]


def test_two_entries_alike_are_two_parts(tmp_path: Path) -> None:
    (text,) = example(RULES / "stock-negative/good.toml").values()
    used = text[text.index("[[used]]") :]
    alike = {"jobs/2026/K26-0101.toml": f"{text}\n{used.replace('qty = 13', 'qty = 1')}"}
    assert lint(opened(lay(tmp_path / "a", {"jobs/2026/K26-0101.toml": text}))).findings == ()
    assert [each.line for each in lint(opened(lay(tmp_path / "b", alike))).findings] == [29]
