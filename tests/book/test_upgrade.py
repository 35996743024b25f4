"""Older files come to the current format; newer ones are not touched. Format 0 was never released."""

from __future__ import annotations

import pytest

from jobkit.book.edit import EditError, rename_keys
from jobkit.book.read.load import FORMAT, document
from jobkit.book.write.upgrade import NewerFormatError, format_of, upgraded

OLD = """\
# A job of long ago
format  = 0   # the draft
owner   = "c-031"  # by post

[board]
shelf = "B3"

[[reading]]
when = "arrival"
value = "when"
[[reading]]
  when = "proof"
"""

NEW = """\
# A job of long ago
format  = 1   # the draft
client   = "c-031"  # by post

[board]
place = "B3"

[[reading]]
stage = "arrival"
value = "when"
[[reading]]
  stage = "proof"
"""


def test_keys_get_their_new_names_and_all_else_stays() -> None:
    assert upgraded("job", OLD, "jobs/2020/A20-0001.toml") == NEW


@pytest.mark.parametrize(
    "text", ["format = 1\nowner = 1\n", "owner = 1\n", 'format = "0"\n', "format = false\n"]
)
def test_a_file_of_this_format_or_of_none_stays(text: str) -> None:
    assert upgraded("job", text, "x") == text


def test_each_kind_of_file_has_its_own_names() -> None:
    assert (
        upgraded("bench", 'format = 0\n[bench]\nprefix = "K"\n', "x") == 'format = 1\n[bench]\nletter = "K"\n'
    )
    assert upgraded("stock", "format = 0\nowner = 1\n", "x") == "format = 1\nowner = 1\n"


def test_a_newer_format_is_refused() -> None:
    with pytest.raises(NewerFormatError) as refused:
        upgraded("job", f"format = {FORMAT + 1}\n", "jobs/2030/A30-0001.toml")
    assert "jobs/2030/A30-0001.toml" in refused.value.message
    assert refused.value.mend == "upgrade jobkit"


def test_a_key_that_is_there_by_both_names_is_left_to_a_person() -> None:
    with pytest.raises(EditError, match="owner cannot be named client"):
        upgraded("job", "format = 0\nowner = 1\nclient = 2\n", "x")


def test_an_older_file_is_one_finding_that_names_the_way() -> None:
    doc, troubles = document(b"format = 0\nowner = 3\n")
    assert doc is None
    assert [(one.place, one.mend) for one in troubles] == [(("format",), "run `jobkit upgrade`")]
    assert format_of({"format": -1}) is None


@pytest.mark.parametrize(
    ("before", "path", "after"),
    [
        ("a = 1 # x\n", ("a",), "b = 1 # x\n"),
        ("[t]\n'a' = 1\n", ("t", "a"), "[t]\nb = 1\n"),
        ("t = { a = 1, c = 2 }\n", ("t", "a"), "t = { b = 1, c = 2 }\n"),
        ("t.a = 1\n", ("t", "a"), "t.b = 1\n"),
    ],
)
def test_a_key_is_renamed_in_every_form(before: str, path: tuple[str, ...], after: str) -> None:
    assert rename_keys(before, [path], "b") == after


def test_many_keys_are_renamed_at_once_whatever_their_order() -> None:
    before = "[[t]]\na = 1\n[[t]]\na = { a = 2 } # x\n"
    paths: list[tuple[str | int, ...]] = [("t", 1, "a"), ("t", 0, "a")]
    assert rename_keys(before, paths, "b") == "[[t]]\nb = 1\n[[t]]\nb = { a = 2 } # x\n"


def test_a_table_is_not_renamed() -> None:
    with pytest.raises(EditError):
        rename_keys("[a]\n", [("a",)], "b")
