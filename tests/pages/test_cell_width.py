"""The width of a text on a terminal is what the library says that knows it of every character."""

from __future__ import annotations

import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st
from wcwidth import wcswidth, wcwidth

from jobkit.pages.cell_width import _NARROW, cell_width

PRINTABLE = [chr(code) for code in range(sys.maxunicode) if chr(code).isprintable()]


def test_what_counts_as_narrow_is() -> None:
    assert [letter for letter in PRINTABLE if _NARROW.fullmatch(letter) and wcwidth(letter) != 1] == []


@pytest.mark.parametrize("text", ["23.4 Ω", "−0.5 µV", "≤ 105 °C", "3 → 4", "Müller", "Ωμέγα", "23.4\ue000Ω"])
def test_words_of_the_bench_need_no_library(text: str) -> None:
    assert _NARROW.fullmatch(text)
    assert cell_width(text) == len(text)


@pytest.mark.parametrize(("text", "wide"), [("基板", 4), ("e\u0301", 1)])
def test_letters_of_other_widths(text: str, wide: int) -> None:
    assert cell_width(text) == wide


@given(st.text(st.sampled_from(PRINTABLE)))
def test_any_text_is_as_wide_as_the_library_says(text: str) -> None:
    assert cell_width(text) == wcswidth(text)
