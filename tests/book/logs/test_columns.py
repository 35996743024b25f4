"""The one reader of all logs: dialects, encodings, headers, bad rows, bounded memory, and its quick way."""

from __future__ import annotations

import io
import tracemalloc
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from jobkit.book.logs import lines as lines_module
from jobkit.book.logs.columns import ALL_GUESSED, Log, LogOptions
from jobkit.book.logs.header import Wanted
from jobkit.book.logs.lines import LONGEST_LINE, Lines, TooLong, numbered_lines
from jobkit.book.logs.split import Batch, RowForm, split_block, split_line_by_line

WANTED = (Wanted("channel", ("chan",)), Wanted("written"), Wanted("read"), Wanted("times", needed=False))
TABLE = [["6L", "0000", "0040"], ["6H", "FFFF", "FF7F"]]


def opened(text: str | bytes, options: LogOptions = ALL_GUESSED) -> Log:
    content = text.encode() if isinstance(text, str) else text
    return Log(io.BytesIO(content), WANTED, options)


def rows_of(log: Log) -> list[list[str]]:
    return [list(row) for batch in log.batches() for row in zip(*batch.cells, strict=True)]


def why(log: Log) -> str:
    list(log.batches())
    assert log.refusal is not None
    return log.refusal.words()


PLAIN = "channel,written,read\n6L,0000,0040\n6H,FFFF,FF7F\n"


@pytest.mark.parametrize(
    ("content", "guesses"),
    [
        pytest.param(PLAIN.encode(), [], id="plain"),
        pytest.param(PLAIN.replace("\n", "\r\n").encode(), [], id="Windows line ends"),
        pytest.param(PLAIN.replace("\n", "\r").encode(), [], id="old Mac line ends"),
        pytest.param(PLAIN.rstrip().encode(), [], id="no line end at the end"),
        pytest.param(PLAIN.replace("\n", "\n\n").encode(), [], id="blank lines"),
        pytest.param(PLAIN.replace(",", ";").encode(), ["separator: semicolon"], id="semicolon"),
        pytest.param(PLAIN.replace(",", "\t").encode(), ["separator: tab"], id="tab"),
        pytest.param(PLAIN.replace(",", " , ").encode(), [], id="spaces around the commas"),
        pytest.param(PLAIN.replace("0040", '"0040"').encode(), [], id="quotation marks"),
        pytest.param(b"# tester 3\n\n" + PLAIN.encode(), [], id="remark above the header"),
        pytest.param(b"sep=,\n" + PLAIN.encode(), [], id="separator stated in the first line"),
        pytest.param(PLAIN.replace("0040\n", "0040,\n").encode(), [], id="separator at the end of a row"),
        pytest.param((PLAIN + PLAIN).encode(), [], id="header again"),
        pytest.param(PLAIN.encode("utf-8-sig"), [], id="UTF-8 with a byte order mark"),
        pytest.param(PLAIN.encode("utf-16"), [], id="UTF-16 with a byte order mark"),
        pytest.param(
            PLAIN.encode("utf-16-be"),
            ["encoding: UTF-16-BE (no byte order mark)"],
            id="UTF-16, big end first",
        ),
        pytest.param(
            PLAIN.replace("channel", "Chan").encode(),
            ['column "Chan" is channel'],
            id="another name in the header",
        ),
    ],
)
def test_each_way_to_write_the_same_table(content: bytes, guesses: list[str]) -> None:
    log = opened(content)
    assert rows_of(log)[:2] == TABLE
    assert log.refusal is None
    assert log.guesses == guesses
    assert log.skipped.count == 0


def test_bytes_that_are_not_utf_8_are_a_said_guess() -> None:
    log = opened("channel,written,read,T [°C]\n6L,0000,0040,25\n".encode("latin-1"))
    assert rows_of(log) == [["6L", "0000", "0040", "25"]]
    assert log.guesses == ["encoding: Latin-1 (the bytes are not UTF-8)"]
    assert log.columns[3].unit == "°C"


@pytest.mark.parametrize(
    ("options", "text"),
    [
        (
            LogOptions(columns={"channel": "Lane", "read": "Got"}),
            "Lane,written,Got\n6L,0000,0040\n6H,FFFF,FF7F\n",
        ),
        (LogOptions(header=("channel", "written", "read")), "6L,0000,0040\n6H,FFFF,FF7F\n"),
        (LogOptions(header=("channel", "written", "read")), "6L;0000;0040\n6H;FFFF;FF7F\n"),
        (LogOptions(separator="|"), "channel|written|read\n6L|0000|0040\n6H|FFFF|FF7F\n"),
        (LogOptions(encoding="utf-16-le"), PLAIN.encode("utf-16-le")),
    ],
    ids=["names", "no header", "no header, semicolons", "separator", "encoding"],
)
def test_what_is_stated_is_not_guessed(options: LogOptions, text: str | bytes) -> None:
    log = opened(text, options)
    assert rows_of(log) == TABLE
    assert log.refusal is None


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (b"", "the log is empty"),
        (b" \n\r\n", "the log is empty"),
        (b"\x00\x01\x02\x03" * 90, "the log is not a text file; export it as CSV"),
        (b"# only a remark\n", "the log has no header; put the names of the columns in its first line"),
        (b"channel,written,read\n", "the log has a header and no rows"),
        (
            b"1,2,3\n4,5,6\n",
            "line 1: the log begins with numbers, not with the names of its columns; name its columns",
        ),
        (
            b"channel,wrote,read\n6L,0,1\n",
            (
                "line 1: no column is named written; columns of the log: channel, wrote, read; "
                "state which column is written: --column written=HEADING"
            ),
        ),
        (
            b"channel,read,written,Read\n6L,0,1,1\n",
            'line 1: columns 2 and 4 are both named "read"; give each column its own name',
        ),
        (b'channel,"written,read\n6L,0,1\n', "line 1: a quotation mark in the header is not closed"),
        (
            b"channel,written,read\n6L,0,1\n6L,0\n6L,0\n",
            (
                "line 3: 2 of 3 rows cannot be read, more than 5 %: 2 cells where the header has 3; "
                "check the separator, the decimal mark and the columns, or allow a larger share of bad rows"
            ),
        ),
    ],
)
def test_a_log_that_cannot_be_used_says_where_and_why(text: bytes, words: str) -> None:
    assert why(opened(text)) == words


def test_options_that_fit_nothing() -> None:
    assert "no column is named" in why(opened(PLAIN, LogOptions(columns={"channel": "Lane"})))
    assert why(opened(PLAIN, LogOptions(encoding="utf-9"))).startswith('unknown encoding "utf-9"')


def test_bad_rows_are_counted_with_their_lines_and_the_rest_is_read() -> None:
    text = PLAIN + "6L,0,0\n" * 100 + '6L,0\n6L,0,1,2\n"6L,0,1\n' + "6L,0,0\n" * 20
    log = opened(text)
    assert len(rows_of(log)) == 122
    assert log.rows == 125
    assert [trouble.words() for trouble in log.skipped.examples] == [
        "line 104: 2 cells where the header has 3",
        "line 105: 4 cells where the header has 3",
        "line 106: a quotation mark is not closed",
    ]
    assert log.refusal is None


def test_the_share_of_bad_rows_is_an_option() -> None:
    text = PLAIN + "6L\n"
    assert opened(text, LogOptions(bad_share=Fraction(1, 3))).refusal is not None  # nothing read yet: no rows
    log = opened(text, LogOptions(bad_share=Fraction(1, 3)))
    assert len(rows_of(log)) == 2
    assert log.refusal is None
    assert "more than 33 %" in why(opened(text, LogOptions(bad_share=Fraction(33, 100))))


def test_an_endless_line_is_skipped_in_bounded_memory() -> None:
    class Endless(io.RawIOBase):
        """64 MB without an end of line, between two rows."""

        def __init__(self) -> None:
            self.blocks = iter([PLAIN.encode(), *[b"x" * 65536] * 1024, b"\n6L,1111,1110\n"])

        def read(self, size: int = -1) -> bytes:  # noqa: ARG002 - blocks of its own size
            return next(self.blocks, b"")

    tracemalloc.start()
    log = Log(Endless(), WANTED, LogOptions(bad_share=Fraction(1)))  # type: ignore[arg-type]
    assert rows_of(log) == [*TABLE, ["6L", "1111", "1110"]]
    assert [trouble.words() for trouble in log.skipped.examples] == [
        f"line 4: the line is longer than {LONGEST_LINE} letters"
    ]
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 4_000_000


def test_progress_is_told_the_bytes() -> None:
    told: list[int] = []
    content = PLAIN.encode() + b"6L,0000,0000\n" * 60_000
    log = Log(io.BytesIO(content), WANTED, progress=told.append)
    assert len(rows_of(log)) == 60_002
    assert told == sorted(told)
    assert told[-1] == len(content)
    assert len(told) > 2


LINE = st.text(st.sampled_from('ab1,;" \t'), max_size=12)


@example([";"], ";", 2)
@example(["\t,a", "b,c"], ",", 2)
@given(st.lists(LINE, max_size=12), st.sampled_from(",;\t"), st.integers(1, 4))
def test_the_quick_way_equals_the_plain_way(texts: list[str], separator: str, width: int) -> None:
    form = RowForm(separator, ("a", *map(str, range(1, width))), width)
    block = Lines(5, "\n".join(texts))
    quick, plain = [], []
    at_once = split_block(block, form, lambda *skipped: quick.append(skipped))
    one_by_one = split_line_by_line(block, form, lambda *skipped: plain.append(skipped))
    assert Batch(list(at_once.lines), at_once.cells) == Batch(list(one_by_one.lines), one_by_one.cells)
    assert quick == plain


@given(
    st.lists(
        st.tuples(*[st.text(st.sampled_from("abc019"), min_size=1, max_size=3)] * 3), min_size=1, max_size=9
    )
)
def test_the_quick_way_is_taken_for_regular_rows(rows: list[tuple[str, str, str]]) -> None:
    form = RowForm(",", ("channel", "written", "read"), 3)
    batch = split_block(Lines(1, "\n".join(map(",".join, rows))), form, lambda *_: pytest.fail("skipped"))
    assert isinstance(batch.lines, range)
    assert list(zip(*batch.cells, strict=True)) == rows


@given(st.lists(st.sampled_from(["", "a", "bc,d", "é", "\r", "\r\n", "\n"]), max_size=30), st.integers(1, 7))
def test_lines_are_the_same_whatever_the_size_of_a_block(pieces: list[str], size: int) -> None:
    text = "".join(pieces)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(lines_module, "BLOCK", size)
        numbered = [
            (number, line)
            for block in numbered_lines(b"", io.BytesIO(text.encode()), "utf-8")
            if not isinstance(block, TooLong)
            for number, line in enumerate(block.text.split("\n"), block.first)
        ]
    expected = list(enumerate(text.replace("\r\n", "\n").replace("\r", "\n").split("\n"), 1))
    assert [one for one in numbered if one[1]] == [one for one in expected if one[1]]


@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(content: bytes) -> None:
    for head in (b"", b"channel,written,read\n"):
        log = opened(head + content)
        list(log.batches())
        assert log.refusal is None or log.refusal.message
