"""Tables in a narrow terminal: what may be parted and what may not. Common sense, no source."""

from __future__ import annotations

from textwrap import wrap

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tabulate import tabulate
from wcwidth import wcswidth

from jobkit.pages.blocks import Block, Line, Pairs, Table, Title
from jobkit.pages.forms.colour import Paint
from jobkit.pages.forms.text import as_text
from jobkit.pages.forms.text_table import fitted
from jobkit.pages.forms.wrapping import wrapped

ROW = ("demo/K26-0213", "resistance cold", "in    +13.5 Ω", "Picture only while a thumb presses the middle")


def _table(width: int, *rows: tuple[str, ...]) -> list[list[str]]:
    """Draw a table and give its rows below the rule, column by column."""
    drawn = fitted(Table(("job", "kind", "verdict", "title"), rows, right=()), width).splitlines()
    edges = [
        index
        for index, mark in enumerate(f"  {drawn[1]}")
        if mark == "-" and f"  {drawn[1]}"[index - 1] == " "
    ]
    ends = [*(edge - 2 for edge in edges[1:]), None]
    return [
        [line[edge - 2 : end].strip() for edge, end in zip(edges, ends, strict=True)] for line in drawn[2:]
    ]


@pytest.mark.parametrize("width", [60, 70, 80])
def test_names_stay_whole_while_sentences_can_give_way(width: int) -> None:
    columns = list(zip(*_table(width, ROW), strict=True))
    for text, column in zip(ROW, columns, strict=True):
        assert " ".join(" ".join(column).split()) == " ".join(text.split())
        assert {word for line in column for word in line.split()} == set(text.split())


@pytest.mark.parametrize("width", [60, 70])
def test_a_number_stays_with_its_unit(width: int) -> None:
    column = [row[2] for row in _table(width, ROW)]
    assert "+13.5 Ω" in " | ".join(column)


def test_what_is_longer_than_a_name_is_cut_where_nothing_else_helps() -> None:
    drawn = fitted(Table(("job", "title"), (("K26-0001", "x" * 90),), right=()), 40)
    assert max(map(len, drawn.splitlines())) <= 40


WORDS = st.lists(st.text("aé漢-.5ΩV", min_size=1, max_size=9), max_size=6).map(" ".join)
CELLS = st.lists(WORDS, min_size=1, max_size=3).map("\n".join).map(str.strip)


@given(
    rows=st.lists(st.tuples(CELLS.filter(bool), CELLS, CELLS), min_size=1, max_size=6),
    heads=st.tuples(WORDS, WORDS, WORDS).filter(lambda heads: len(set(heads)) == 3 and "" not in heads),
    right=st.sets(st.integers(0, 2)),
)
def test_a_table_with_room_is_drawn_as_tabulate_draws_it(
    rows: list[tuple[str, str, str]], heads: tuple[str, str, str], right: set[int]
) -> None:
    """Tabulate is the oracle: it draws what `fitted` draws by itself."""
    drawn = fitted(Table(heads, rows, right=tuple(heads[index] for index in right)), 10_000)
    align = ["right" if index in right else "left" for index in range(3)]
    assert drawn == tabulate(
        [[_stripped(cell) for cell in row] for row in rows],
        headers=heads,
        tablefmt="simple",
        disable_numparse=True,
        colalign=align,
    )


def _stripped(cell: str) -> str:
    return "\n".join(line.strip() for line in cell.split("\n"))


@given(
    words=st.lists(st.text("abc.,é'Ω", min_size=1, max_size=30), min_size=1),
    width=st.integers(min_value=8, max_value=40),
)
def test_words_are_parted_as_textwrap_parts_them(words: list[str], width: int) -> None:
    """A column of words beside one of the same width that cannot give way; textwrap is the oracle."""
    line = " ".join(words)
    drawn = fitted(Table(("n", "words"), [("x" * 20, line)], right=("n",)), 20 + 2 + width)
    assert [part[22:] for part in drawn.splitlines()[2:]] == (
        [part.strip() for part in wrap(line, width)] if len(line) > width else [line]
    )


def test_a_head_of_several_words_is_wrapped_before_it_widens_its_column() -> None:
    table = Table(
        ("job", "outcome and cause", "per hour"), (("K26-0001", "repaired", "31.65"),), ("per hour",)
    )
    assert fitted(table, 34).splitlines() == [
        "job       outcome        per hour",
        "          and cause",
        "--------  -----------  ----------",
        "K26-0001  repaired          31.65",
    ]


DUE = Table(
    ("on", "days", "what", "why", "next step"),
    (
        ("2026-09-28", "-53", "quote", "waiting for the client's answer since 2026-09-23", "ask the client again"),
        ("2026-10-19", "-32", "dry", "", "use the part, or bake it before use"),
        ("2026-11-02", "9", "支払い", "発送済み 2026-10-19、未払い 🔥", "remind the client"),
    ),
    right=("days",),
    below=("why",),
)  # fmt: skip


def test_sentences_go_below_their_row_where_there_is_no_room() -> None:
    assert fitted(DUE, 60) == (
        "on            days  what    next step\n"
        "            why\n"
        "----------  ------  ------  -------------------------------\n"
        "2026-09-28     -53  quote   ask the client again\n"
        "            waiting for the client's answer since 2026-09-23\n"
        "2026-10-19     -32  dry     use the part, or bake it before\n"
        "                            use\n"
        "2026-11-02       9  支払い  remind the client\n"
        "            発送済み 2026-10-19、未払い 🔥"
    )


def test_sentences_stay_in_their_column_where_there_is_room() -> None:
    assert fitted(DUE, 200) == fitted(DUE._replace(below=()), 200)


@given(
    rows=st.lists(st.tuples(CELLS, CELLS, CELLS), min_size=1, max_size=6),
    width=st.integers(30, 120),
)
def test_no_word_is_lost_below_a_row(rows: list[tuple[str, str, str]], width: int) -> None:
    drawn = fitted(Table(("on", "what", "why"), rows, below=("why",)), width)
    told = "".join(f"onwhatwhy{''.join(map(''.join, rows))}".split())
    assert sorted(letter for letter in drawn if letter not in " \n-") == sorted(told.replace("-", ""))
    assert max(map(wcswidth, drawn.splitlines())) <= max(width, 30)


@given(text=WORDS, width=st.integers(4, 60))
def test_a_sentence_is_as_wide_as_told_and_keeps_its_words(text: str, width: int) -> None:
    lines = wrapped(text, width)
    assert "".join("".join(lines).split()) == "".join(text.split())
    for line in lines:
        assert wcswidth(line) <= width or " " not in line


JAPANESE = "昨日から画面に色のついた縞が出て、数分後に再起動します。" * 4


@pytest.mark.parametrize("width", [80, 100])
def test_a_page_in_a_script_without_spaces_stays_within_the_terminal(width: int) -> None:
    page: list[Block] = [
        Title(JAPANESE, 1),
        Line(JAPANESE),
        Pairs([("complaint", JAPANESE), ("場所", "棚 🔧 B3")]),
        Table(("job", "題"), [("K26-0001", JAPANESE)]),
    ]
    lines = as_text(page, width, Paint(on=False)).splitlines()
    assert max(map(wcswidth, lines)) <= width
    assert "".join("".join(lines).split()).count(JAPANESE[:4]) >= 4
