"""Which known words a slip is taken for, and how an odd text is shown."""

from __future__ import annotations

import pytest

from jobkit.units.errors import MisuseError, in_lines, in_one_line
from jobkit.units.most_alike import most_alike
from jobkit.units.slip import all_nearest

NEAREST = {
    "a letter to delete is as near as one to replace": ("abcd", ("abc", "abxd"), ["abc", "abxd"]),
    "a letter to insert is as near as one to replace": ("abc", ("abcd", "abx"), ["abcd", "abx"]),
    "a swap is as near as one to replace": ("abcd", ("abdc", "abxd"), ["abdc", "abxd"]),
    "a swap of the first two is nearer than two to replace": ("abcd", ("bacd", "abxy"), ["bacd"]),
    "half of the letters may change": ("omh", ("ohm", "xyh"), ["ohm"]),
    "two of four letters": ("abcd", ("abxy", "wxyz"), ["abxy"]),
    "two of three letters are too many": ("abc", ("axy",), []),
    "the nearest is too far": ("fan", ("VMEM", "V12"), []),
    "no words": ("fan", (), []),
    "no letters": ("", ("fan", ""), [""]),
    "letters in front of what is there": ("ab", ("abx",), ["abx"]),
    "a letter twice is not a swap": ("aaa", ("a",), []),
    "a swap at the end of longer words": ("xyab", ("xyba", "xycd"), ["xyba"]),
    "the same word": ("fan", ("fan", "fans"), ["fan"]),
}


@pytest.mark.parametrize(("word", "known", "found"), NEAREST.values(), ids=NEAREST)
def test_the_nearest_words(word: str, known: tuple[str, ...], found: list[str]) -> None:
    assert all_nearest(word, known) == found


@pytest.mark.parametrize(
    ("word", "found"), [("dmm-3", ["dmm-1", "dmm-2"]), ("lcr1", ["lcr-1"]), ("fan", [])], ids=str
)
def test_the_words_most_alike(word: str, found: list[str]) -> None:
    assert most_alike(word, ["dmm-1", "dmm-2", "lcr-1"], 0.6) == found


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("a\nb", r"a\nb"),
        ("\x1b[2J", r"\x1b[2J"),
        (r"logs\load.csv", r"logs\load.csv"),
        ("it's 5 Ω", "it's 5 Ω"),
        ("lo\udce4d.csv", "lo\udce4d.csv"),  # a byte that is not UTF-8, as Python reads it from the system
        ("\udc80\udcff", "\udc80\udcff"),  # the first and the last of them
        ("\udc7f\udd00", r"\udc7f\udd00"),
    ],
    ids=ascii,
)
def test_only_what_a_terminal_would_obey_is_written_out(text: str, shown: str) -> None:
    assert in_one_line(text) == shown


@pytest.mark.parametrize(
    ("text", "shown"),
    [("12 V", "12 V"), ("a\nb\n", "a\nb\n"), ("a\x1b[2J\n\tb", "a\\x1b[2J\n\\tb")],
    ids=ascii,
)
def test_ends_of_lines_may_stay(text: str, shown: str) -> None:
    assert in_lines(text) == shown


def test_an_error_without_a_way_to_fix_it_ends_with_what_is_wrong() -> None:
    assert (str(MisuseError("it is wrong")), MisuseError("it is wrong").mend) == ("it is wrong", "")
