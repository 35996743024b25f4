"""What was written goes again, byte for byte, as long as it stands as it was written."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from jobkit.book.edit import EditError, Value, append_entry, set_key
from jobkit.book.toml.outline import outline
from jobkit.book.toml.parse import parse_text
from jobkit.book.write.entry import append_apart, correct, rows_of
from jobkit.book.write.splices import Splice, reverted, splices, taken_back, times
from tests.book.odd_toml import odd

AT = datetime(2026, 10, 22, 10, 5)
ENTRY: dict[str, Value] = {"at": AT, "point": "VMEM", "kind": "resistance", "value": "23.4 Ω"}

Edit = Callable[[str], str]

EDITS: dict[str, Edit] = {
    "append": partial(append_entry, table="reading", entry={"n": 1}),
    "append within": partial(append_entry, table="point.limit", entry={"n": 1}),
    "set": partial(set_key, path=("new key",), value="x"),
    "set in a table": partial(set_key, path=("new table", "key"), value=[1, 2]),
}


def _after(text: str, edits: list[Edit]) -> tuple[str, list[Splice]]:
    done: list[Splice] = []
    for edit in edits:
        before, text = text, edit(text)
        done += splices(before, text)
    return text, done


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.lists(st.sampled_from(sorted(EDITS)), min_size=1, max_size=3))
def test_undoing_gives_the_text_from_before(seed: int, names: list[str]) -> None:
    text = odd(seed).text
    try:
        after, done = _after(text, [EDITS[name] for name in names])
    except EditError:
        return
    assert taken_back(after, done) == reverted(after, done) == text


LINES = st.lists(st.sampled_from(["a\n", "b\n", "c\n", "\n", "d\r\n"]), max_size=12).map("".join)


@settings(max_examples=300, deadline=None)
@given(LINES, LINES, st.sampled_from(["", "e", "a"]))
def test_splices_make_one_text_of_another_and_back(before: str, after: str, end: str) -> None:
    done = splices(before, after + end)
    text = before
    for one in done:
        assert text[one.at :].startswith(one.old)
        text = text[: one.at] + one.new + text[one.at + len(one.old) :]
    assert text == after + end
    assert reverted(text, done) == before


def test_lines_between_two_changes_may_change_later() -> None:
    before = "a = 1\nb = 1\nc = 1\n"
    done = splices(before, "a = 2\nb = 1\nc = 2\n")
    assert taken_back("a = 2\nb = 5\nc = 2\n", done) == "a = 1\nb = 5\nc = 1\n"


def test_lines_that_were_taken_out_come_back_only_into_the_text_they_left() -> None:
    done = splices("a = 1\nb = 1\n", "a = 1\n")
    assert reverted("a = 1\n", done) == "a = 1\nb = 1\n"
    with pytest.raises(EditError):
        taken_back("a = 1\nc = 1\n", done)
    with pytest.raises(EditError):
        reverted("a = 2\n", splices("a = 1\n", "a = 3\n"))


def test_whole_lines_are_counted() -> None:
    assert times("ab\nb\nb\n", "b\n") == 2
    assert times("a\nb", "b") == 1


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6))
def test_what_was_written_after_it_stays(seed: int) -> None:
    text = odd(seed).text
    try:
        first, done = _after(text, [partial(append_entry, table="reading", entry={"n": 1, "m": "first"})])
        both = append_entry(first, "reading", {"n": 2})
    except EditError:
        return
    assume(
        outline(first).spans["reading",].form == "header"
    )  # on one line in brackets the two cannot be parted again
    left = parse_text(taken_back(both, done))
    rows = rows_of(left, ("reading",))
    assert {"n": 1, "m": "first"} not in rows
    assert rows[-1] == {"n": 2}


JOB = '[[reading]]\nvalue = "1 Ω"\n'


@pytest.mark.parametrize(
    "change",
    [
        pytest.param(lambda text: text.replace("23.4", "23.5"), id="a value"),
        pytest.param(lambda text: text.replace('point = "VMEM"', 'point = "VMEM" # L7'), id="a remark in it"),
        pytest.param(lambda text: text.replace('point = "VMEM"\n', ""), id="a line less"),
        pytest.param(lambda text: text.replace("23.4 Ω", "23.4 Ω\\n"), id="its last line"),
        pytest.param(lambda _text: JOB, id="all of it"),
    ],
)
@pytest.mark.parametrize("end", ["\n", ""], ids=["final newline", "no final newline"])
def test_what_was_changed_since_stays(change: Edit, end: str) -> None:
    after, done = _after(JOB.rstrip("\n") + end, [partial(append_entry, table="reading", entry=ENTRY)])
    with pytest.raises(EditError, match="was changed after"):
        taken_back(change(after), done)


def test_a_longer_last_line_is_not_taken_for_the_one_that_was_written() -> None:
    after, done = _after("a = 1", [partial(set_key, path=("b",), value=1)])
    with pytest.raises(EditError):
        taken_back(f"{after}5", done)


def test_one_of_two_that_read_alike_goes_from_its_own_place() -> None:
    text = "[[a]]\nx = 1\n\n[b]\ny = 1\n"
    after, done = _after(text, [partial(append_entry, table="a", entry={"x": 1})])
    assert taken_back(after, done) == text
    with pytest.raises(EditError):  # moved, it could be either
        taken_back(f"# a remark\n{after}", done)


def test_a_replaced_value_comes_back_as_it_was_written() -> None:
    text = "[dates]\nsent = 2026-10-26   # by post\n"
    after, done = _after(text, [partial(set_key, path=("dates", "sent"), value=AT.date())])
    assert taken_back(after, done) == text


def test_entries_of_one_identity_are_a_second_apart() -> None:
    """Two readings of one point in one second would be one to a merge: identity as the design has it."""
    text = ""
    for point in ("VMEM", "VMEM", "V12"):
        text = append_apart(text, "reading", {**ENTRY, "point": point})
    rows = rows_of(parse_text(text), ("reading",))
    assert [row["at"].second for row in rows] == [0, 1, 0]


def test_a_corrected_entry_keeps_its_place_and_its_remarks() -> None:
    text = append_entry("", "reading", ENTRY).replace("[[reading]]", "# the left end\n[[reading]]")
    text = append_entry(text, "reading", {**ENTRY, "point": "V12"})
    new = correct(text, "reading", dict(ENTRY), {**ENTRY, "value": "24 Ω"})
    assert new == text.replace("23.4 Ω", "24 Ω", 1)


@pytest.mark.parametrize(
    ("was", "entry"),
    [
        pytest.param({**ENTRY, "value": "1 Ω"}, ENTRY, id="no longer there"),
        pytest.param(ENTRY, {"at": AT}, id="keys fewer"),
    ],
)
def test_an_entry_that_cannot_be_corrected_stays(was: dict[str, Value], entry: dict[str, Value]) -> None:
    with pytest.raises(EditError):
        correct(append_entry("", "reading", ENTRY), "reading", was, entry)
