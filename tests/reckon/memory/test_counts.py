"""Counts of memory logs: bit planes against the plain way, and that order, splits and merges change nothing."""

from __future__ import annotations

from array import array

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.reckon.memory import channel_counts
from jobkit.reckon.memory.channel_counts import ChannelCounts
from jobkit.reckon.memory.line_counts import LineCounts
from jobkit.reckon.memory.log_counts import LogCounts
from jobkit.reckon.memory.planes import word_pairs
from tests.reckon.memory.plain import Row, counted, words_text

WIDTHS = st.sampled_from([4, 8, 12, 16, 32])


@st.composite
def logs(draw: st.DrawFn) -> tuple[int, list[Row]]:
    """Draw the rows of one channel: random words with few, many or no wrong lines, whole bytes inverted, and counts."""
    width = draw(WIDTHS)
    word = st.integers(0, (1 << width) - 1)
    few = st.lists(st.integers(0, width - 1), max_size=3).map(
        lambda lines: sum({1 << line for line in lines})
    )
    lanes = st.sets(st.integers(0, max(width // 8 - 1, 0))).map(
        lambda them: sum(0xFF << 8 * byte for byte in them)
    )
    wrong = st.one_of(st.just(0), few, word, lanes.map(lambda mask: mask & ((1 << width) - 1)))
    times = st.one_of(st.just(1), st.integers(1, 10**9))
    row = st.builds(lambda one, other, count: Row(one, one ^ other, count), word, wrong, times)
    return width, draw(st.lists(row, min_size=1, max_size=40))


def in_planes(rows: list[Row], width: int) -> ChannelCounts:
    counts = ChannelCounts(width)
    counts.add(words_text(rows, width), array("Q", [row.times for row in rows]))
    return counts


def as_named(counts: ChannelCounts) -> dict[str, int]:
    """Name all counts as the plain way does, without zeros."""
    found = {"errors": counts.errors, "inverted words": counts.inverted_words}
    found |= {f"inverted {byte}": words for byte, words in enumerate(counts.inverted)}
    for kind in ("few", "bytes", "many"):
        part: LineCounts = getattr(counts, kind)
        found |= {f"{kind} words": part.words, f"{kind} wrong": part.wrong_words}
        for line in range(counts.width):
            found |= {
                f"{kind} ones {line}": part.ones[line],
                f"{kind} read 1 {line}": part.read_1[line],
                f"{kind} read 0 {line}": part.read_0[line],
            }
            found |= {f"{kind} both {line} {other}": part.both[line][other] for other in range(line)}
            for other in range(counts.width):
                found[f"{kind} read 1 {line} with {other}"] = part.read_1_with[line][other]
                found[f"{kind} read 0 {line} with {other}"] = part.read_0_with[line][other]
    return {name: count for name, count in found.items() if count}


@given(logs())
def test_planes_count_what_the_plain_way_counts(log: tuple[int, list[Row]]) -> None:
    width, rows = log
    counts = in_planes(rows, width)
    assert as_named(counts) == counted(rows, width)
    assert counts.words == sum(row.times for row in rows)
    assert counts.wrong_patterns == {row.written for row in rows if row.written != row.read}
    assert counts.written_patterns == {row.written for row in rows}


@given(logs(), st.randoms(use_true_random=False), st.integers(0, 40))
def test_order_splits_and_merges_change_nothing(log: tuple[int, list[Row]], random: object, cut: int) -> None:
    width, rows = log
    whole = in_planes(rows, width)
    shuffled = list(rows)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    assert as_named(in_planes(shuffled, width)) == as_named(whole)
    parts = [part for part in (shuffled[:cut], shuffled[cut:]) if part]
    merged = in_planes(parts[0], width)
    for part in parts[1:]:
        merged.merge(in_planes(part, width))
    assert as_named(merged) == as_named(whole)
    assert merged.wrong_patterns == whole.wrong_patterns
    assert merged.written_patterns == whole.written_patterns


@given(
    st.lists(
        st.builds(Row, st.integers(0, 255), st.integers(0, 255), st.integers(1, 5)), min_size=1, max_size=9
    )
)
def test_a_count_is_worth_as_many_rows(rows: list[Row]) -> None:
    written_out = [row._replace(times=1) for row in rows for _ in range(row.times)]
    assert as_named(in_planes(rows, 8)) == as_named(in_planes(written_out, 8))


def test_patterns_saturate_alike_in_any_order(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(channel_counts, "PATTERNS_KEPT", 4)
    one, other = [Row(1, 0), Row(2, 0), Row(3, 0)], [Row(4, 0), Row(1, 0)]
    forth, back = in_planes(one, 8), in_planes(other, 8)
    forth.merge(in_planes(other, 8))
    back.merge(in_planes(one, 8))
    assert forth.wrong_patterns is None
    assert back.wrong_patterns is None
    assert in_planes(one, 8).wrong_patterns == {1, 2, 3}


@pytest.mark.parametrize(
    "text", ["A5\nA", "A5\nA5A", "A5", "A5\nA5\nA5", "GG\nA5", "A \nA5", "", "A5A5\nA5A5"], ids=repr
)
def test_words_that_are_none_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        word_pairs(text, 8)


def test_a_log_is_gathered_by_channel() -> None:
    log = LogCounts(8)
    log.add("1L", "00\n01")
    log.add("1H", "FF\nFF", [3])
    log.add("1L", "00\n00\n00\n02", [5, 2])
    log.add("1L", "01\n01")
    channels = log.channels()
    assert list(channels) == ["1L", "1H"]
    assert (channels["1L"].words, channels["1L"].errors) == (9, 3)
    assert (channels["1H"].words, channels["1H"].errors) == (3, 0)
    assert channels["1L"].few.read_1[:2] == [1, 2]


def test_failing_lines_are_expected_xor_actual() -> None:
    """Failing lines are written xor read; worked by hand."""
    counts = ChannelCounts(32)
    counts.add("A5A5A5A5\nA5A4A5A5\nFFFFFFFF\n7FFF7FFE")
    assert [line for line in range(32) if counts.few.errors(line)] == [0, 15, 16, 31]
    assert counts.few.read_1 == [0] * 32
