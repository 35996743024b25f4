"""Memory logs: words, counts and channels, bad rows, and the quick way against the plain way."""

from __future__ import annotations

import io
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.book.logs import memory
from jobkit.book.logs.columns import ALL_GUESSED, LogOptions
from jobkit.book.logs.lines import Lines
from jobkit.book.logs.memory import MemoryLog
from jobkit.book.logs.word_rows import WordRows

HEAD = "channel,written,read,times\n"
Row = tuple[str, str, str, int]


def opened(text: str, options: LogOptions = ALL_GUESSED, digits: int = 0) -> MemoryLog:
    return MemoryLog(io.BytesIO(text.encode()), options, digits)


def unfolded(rows: list[WordRows]) -> Counter[tuple[str, str, str]]:
    found: Counter[tuple[str, str, str]] = Counter()
    for part in rows:
        words = part.words.split("\n")
        times = part.times or [1] * (len(words) // 2)
        for written, read, count in zip(words[::2], words[1::2], times, strict=True):
            found[part.channel, written.upper(), read.upper()] += count
    return found


def read(log: MemoryLog) -> Counter[tuple[str, str, str]]:
    return unfolded(list(log.rows()))


@pytest.mark.parametrize(
    "text",
    [
        "channel,written,read\n6L,0000,0040\n6L,0000,0040\n6H,FFFF,FF7F\n",
        "channel,written,read,times\n6L,0000,0040,2\n6H,FFFF,FF7F,1\n",
        "channel,written,read\n6L,0x0000,0x0040\n6L,0x0000,0x0040\n6H,0xffff,0xff7f\n",
        "Chan;Expected;Actual;Count\n6L;0000;0040;2\n6H;FFFF;FF7F;1\n",
        "address,channel,read,written\n12,6L,0040,0000\n13,6L,0040,0000\n14,6H,FF7F,FFFF\n",
        'channel,written,read\n"6L","0000","0040"\n"6L","0000","0040"\n"6H","FFFF","FF7F"\n',
    ],
    ids=["plain", "counted", "prefix", "other names", "other order", "quotation marks"],
)
def test_each_way_to_write_the_same_log(text: str) -> None:
    log = opened(text)
    assert read(log) == {("6L", "0000", "0040"): 2, ("6H", "FFFF", "FF7F"): 1}
    assert log.refusal is None
    assert log.digits == 4


GOOD = HEAD + "6L,0000,0040,1\n" * 40


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("6L,0000,00G0,1", 'read is "00G0", which is not a hexadecimal word'),
        ("6L,,0000,1", 'written is "", which is not a hexadecimal word'),
        ("6L,-001,0000,1", 'written is "-001", which is not a hexadecimal word'),
        ("6L,00000,00001,1", "written has 5 hexadecimal digits where the words of this log have 4"),
        ("6L,0000,1,1", "read has 1 hexadecimal digit where the words of this log have 4"),
        (",0000,0001,1", "no channel is named"),
        ("6L,0000,0001,0", 'times is "0", which is not a count from 1 to 1000000000000'),
        ("6L,0000,0001,-3", 'times is "-3", which is not a count from 1 to 1000000000000'),
        ("6L,0000,0001,1.5", 'times is "1.5", which is not a count from 1 to 1000000000000'),
        ("6L,0000,0001,", 'times is "", which is not a count from 1 to 1000000000000'),
        (
            "6L,0000,0001,9999999999999",
            'times is "9999999999999", which is not a count from 1 to 1000000000000',
        ),
        ("6L,0000,0001", "3 cells where the header has 4"),
        ("6L,0000,0001,1,1", "5 cells where the header has 4"),
        ("6L,0000 0001,1,1", 'written is "0000 0001", which is not a hexadecimal word'),
    ],
)
def test_a_bad_row_is_counted_with_its_line(row: str, words: str) -> None:
    log = opened(GOOD + row + "\n" + "6H,FFFF,FFFE,1\n")
    assert read(log) == {("6L", "0000", "0040"): 40, ("6H", "FFFF", "FFFE"): 1}
    assert [trouble.words() for trouble in log.log.skipped.examples] == [f"line 42: {words}"]
    assert log.refusal is None
    assert log.log.rows == 42


def test_too_many_bad_rows_refuse_the_log() -> None:
    log = opened(GOOD + "6L,A5G5,0000,1\n" * 3)
    read(log)
    assert log.refusal is not None
    assert log.refusal.line == 42
    assert log.refusal.message.startswith("3 of 43 rows cannot be read, more than 5 %: written is")


def test_words_wider_than_any_test_are_refused() -> None:
    log = opened(HEAD + f"6L,{'0' * 65},{'0' * 65},1\n", LogOptions(bad_share=Fraction(0)))
    read(log)
    assert log.refusal is not None
    assert "65 hexadecimal digits, more than 64" in log.refusal.message


def test_a_stated_width_fills_in_leading_zeros() -> None:
    log = opened("channel,written,read\n6L,0,40\n6L,FFFF,FF7F\n", digits=4)
    assert read(log) == {("6L", "0000", "0040"): 1, ("6L", "FFFF", "FF7F"): 1}
    assert log.refusal is None


def test_another_column_taken_for_the_channel_is_refused_in_bounded_memory(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(memory, "MOST_CHANNELS", 8)
    log = opened("Address,written,read\n" + "".join(f"{place},0000,0001\n" for place in range(20)))
    assert log.refusal is not None
    log = opened(
        "address,written,read\n" + "".join(f"{place},0000,0001\n" for place in range(20)),
        LogOptions(columns={"channel": "address"}),
    )
    read(log)
    assert log.refusal is not None
    assert log.refusal.words() == 'column "address" names more than 8 channels; check the columns'


CELL = st.sampled_from(
    ["0000", "0040", "FFFF", "ff7f", "0x00", "00", "", "0", "1", "2", "17", "0 00", "GGGG", '"A5A5"']
)
LINE = st.one_of(
    st.tuples(st.sampled_from(["6L", "10H", ""]), CELL, CELL, CELL).map(",".join),
    st.tuples(
        st.sampled_from(["6L", "10H"]),
        st.sampled_from(["0000", "abcd"]),
        st.just("0040"),
        st.sampled_from("12"),
    ).map(",".join),
    st.sampled_from(["", "6L,0000", HEAD.strip(), "6L,0000,0001,1,1"]),
)


QUICK = pytest.mark.parametrize(
    "quick_way", [MemoryLog.rows_at_once, MemoryLog.rows_from_arrays], ids=["strings", "arrays"]
)


@QUICK
@given(lines=st.lists(LINE, min_size=1, max_size=12))
def test_the_quick_way_equals_the_plain_way(
    quick_way: Callable[[MemoryLog, Lines], list[WordRows]], lines: list[str]
) -> None:
    block = Lines(2, "\n".join(lines))
    quick, plain = opened(HEAD + "6L,0000,0001,1\n", digits=0), opened(HEAD + "6L,0000,0001,1\n", digits=0)
    quick.digits = plain.digits = 4
    at_once = quick_way(quick, block)
    one_by_one = plain.rows_one_by_one(block)
    if at_once:
        assert unfolded(at_once) == unfolded(one_by_one)
        assert quick.log.rows == plain.log.rows
        assert plain.log.skipped.count == 0


REGULAR = st.tuples(
    st.sampled_from(["6L", "10H", "A"]),
    st.sampled_from(["0000", "ABCD", "a5a5"]),
    st.sampled_from(["", ",1", ",20", ",1000000000000"]),
)


@QUICK
@given(rows=st.lists(REGULAR, min_size=1), prefix=st.sampled_from(["", "0x"]))
def test_the_quick_way_is_taken_for_regular_rows(
    quick_way: Callable[[MemoryLog, Lines], list[WordRows]], rows: list[tuple[str, str, str]], prefix: str
) -> None:
    counted = rows[0][2] != ""
    rows = [row for row in rows if (row[2] != "") is counted]
    log = opened("channel,written,read" + (",times" if counted else "") + "\n6L,0000,0000\n")
    log.digits = 4
    lines = [f"{channel},{prefix}{word},{prefix}0000{times}" for channel, word, times in rows]
    expected: Counter[tuple[str, str, str]] = Counter()
    for channel, word, times in rows:
        expected[channel, word.upper(), "0000"] += int(times[1:] or 1)
    assert unfolded(quick_way(log, Lines(2, "\n".join(lines)))) == expected
    assert log.log.rows == len(rows)


def test_a_large_log_reads_the_same_with_and_without_numpy(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = [
        f"{number % 11}{'LH'[number % 2]},{number % 65536:04X},{number % 977:04x},{number % 7 + 1}"
        for number in range(60_000)
    ]
    text = HEAD + "\n".join([*rows[:30_000], "6L,00GG,0000,1", *rows[30_000:]]) + "\n"
    monkeypatch.setattr(memory, "LARGE", 1 << 18)
    with_numpy = opened(text)
    expected = read(with_numpy)
    monkeypatch.setattr(memory, "_array_splitter", lambda: None)
    without = opened(text)
    assert read(without) == expected
    assert with_numpy.log.rows == without.log.rows == 60_001
    assert with_numpy.log.skipped.count == without.log.skipped.count == 1


def test_a_short_log_does_not_load_numpy() -> None:
    """It takes a tenth of a second, which is longer than the log."""
    words = (
        "import sys, io; from jobkit.book.logs.memory import MemoryLog;"
        f"list(MemoryLog(io.BytesIO({GOOD.encode()!r})).rows()); sys.exit('numpy' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", words], check=False).returncode == 0
