"""Offsets as an editor counts them, and reading round what is half typed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lsprotocol.types import Position, TextEdit

from jobkit.book.toml.parse import parse
from jobkit.editor.shown.edits import splice
from jobkit.editor.shown.half_typed import readable
from jobkit.editor.shown.text import Text
from tests.books import JOB
from tests.editor.marked import edited

LETTERS = st.text(st.sampled_from("aΩ😀\n\r\u2028\t\"'=[]{}#.,1\0\ufeff"), max_size=40)


@given(LETTERS, st.integers(0, 40))
def test_a_position_leads_back_to_its_offset(text: str, at: int) -> None:
    at = min(at, len(text))
    index = Text(text)
    if text[at - 1 : at + 1] != "\r\n":  # between the two there is no place to be
        assert index.offset(index.position(at)) == at


# LSP 3.17, "Position": the letter 𐐀 is two units of UTF-16, so the b of "a𐐀b" is at 3.
# "Text Documents": a line ends with \n, \r\n or \r.
COLUMNS = [
    ("a𐐀b", 2, 3),
    ("Ω = 1", 1, 1),
    ("x\na𐐀b", 4, 3),
    ("x\r\ny", 3, 0),
    ("x\ry", 2, 0),
    ("\r\r\nab", 4, 1),
]


@pytest.mark.parametrize(("text", "offset", "column"), COLUMNS)
def test_columns_count_units_of_utf_16(text: str, offset: int, column: int) -> None:
    assert Text(text).position(offset).character == column


def test_a_position_beyond_the_line_or_the_text_is_its_end() -> None:
    index = Text("ab\r\ncd")
    assert index.offset(Position(0, 99)) == 2
    assert index.offset(Position(9, 9)) == 6


@given(LETTERS, LETTERS)
def test_an_edit_makes_the_new_text_of_the_old(old: str, new: str) -> None:
    start, end, between = splice(old, new)
    assert old[:start] + between + old[end:] == new
    index = Text(old)
    assert edited(old, TextEdit(index.range(start, end), between)) == new


@pytest.mark.parametrize("end", range(0, len(JOB), 7))
def test_of_a_text_cut_off_anywhere_the_rest_is_read(end: int) -> None:
    """At most one entry is half there: all before it is served, every offset where it was."""
    text = JOB[:end]
    got = readable(text)
    assert len(got.text) == len(text)
    assert got.text.count("\n") == text.count("\n")
    whole = JOB[: JOB.rfind("\n[", 0, end) + 1]
    before = parse(whole.encode())
    after = parse(got.text.encode())
    assert {key: after.get(key) for key in before if key not in {"reading", "work", "trial"}} == {
        key: value for key, value in before.items() if key not in {"reading", "work", "trial"}
    }


HALF = {
    "a value to come": ('[board]\nkind = \nplace = "x"\n', {"board": {"place": "x"}}),
    "a text that does not end": ('[board]\nkind = "gra\nplace = "x"\n', {"board": {"place": "x"}}),
    "a header that does not end": (
        'id = "x"\n[[reading\npoint = "V12"\n[board]\nkind = "a"\n',
        {"id": "x", "board": {"kind": "a"}},
    ),
    "a key alone": ("a = 1\nb\nc = 2\n", {"a": 1, "c": 2}),
    "a list that does not end": ('a = 1\nb = ["x",\nc = 2\n', {"a": 1, "c": 2}),
    "a key twice": ("a = 1\na = 2\n", {"a": 1}),
    "two places at once": ("a = \nb = 1\nc = \n", {"b": 1}),
    "nothing wrong": ("a = 1\n", {"a": 1}),
}  # fmt: skip


@pytest.mark.parametrize(("text", "rest"), HALF.values(), ids=HALF)
def test_what_is_half_typed_is_read_round(text: str, rest: object) -> None:
    assert parse(readable(text).text.encode()) == rest


@given(LETTERS)
def test_any_text_is_read_round_or_left_as_it_is(text: str) -> None:
    got = readable(text)
    assert len(got.text) == len(text)
    assert got.error is not None or got.text == text
