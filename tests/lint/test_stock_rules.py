"""What the rules of the shelf say in a check of the whole book, and what where only single files are."""

from __future__ import annotations

from pathlib import Path

import pytest

from jobkit.lint.run.whole_book import lint
from tests.lint.laid import BOOK, example, lay, opened

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


def test_a_job_of_the_year_before_the_count_may_have_taken_the_last_one(tmp_path: Path) -> None:
    """As K25-0009 did in January; K26-0001 of the sound book took one in October."""
    used = '[[used]]\nat = {at}T10:00:00\nitem = "stage-50a"\n'
    stock = (BOOK / "stock.toml").read_text("utf-8")
    late = (BOOK / "jobs/2026/K26-0002.toml").read_text("utf-8")
    files = {
        "stock.toml": stock.replace("14\ncounted_on = 2026-09-30", "2\ncounted_on = 2026-01-05"),
        "jobs/2026/K26-0002.toml": late + used.format(at="2026-10-14"),
        "jobs/2025/K25-0009.toml": late.replace("K26-0002", "K25-0009").replace("2026-10-14", "2025-12-20")
        + used.format(at="2026-01-10"),
    }
    book = opened(lay(tmp_path / "book", files))
    alone = lint(book, wanted=lambda path: path.endswith("K26-0002.toml")).findings
    assert alone == lint(book).findings
    assert [(each.file, each.message) for each in alone] == [
        ("jobs/2026/K26-0002.toml", "2 of stage-50a counted on 2026-01-05, and 3 taken since")
    ]
