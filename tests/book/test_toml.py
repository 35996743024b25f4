"""Reading TOML: what is accepted, and what a refusal says."""

import re
import threading
import tomllib
from collections.abc import Callable
from math import isinf, isnan
from pathlib import Path

import pytest
import tomlkit
import tomlkit.exceptions
from hypothesis import given, settings
from hypothesis import strategies as st

from jobkit.book.toml.parse import BOM, TomlError, decode, parse, parse_text
from jobkit.units.errors import MisuseError
from tests.book.odd_toml import PIECES

_CONFLICT = "<<<<<<< HEAD\na = 1\n=======\na = 2\n>>>>>>> theirs\n"

_REFUSED = [
    ("quotes", "[x]\nvalue = 23.4 Ω", 2, 9, "the value 23.4 Ω needs quotes", 'write "23.4 Ω"'),
    (
        "quotes, remark behind",
        "limit = 10 .. 20 # limit",
        1,
        12,
        "the value 10 .. 20 needs quotes",
        'write "10 .. 20"',
    ),
    ("decimal comma", "qty = 1,5", 1, 8, "1,5 has a decimal comma", "write 1.5"),
    (
        "typographic quotes",
        "a = “x”",
        1,
        5,
        "the value is in typographic quotes",
        'use straight quotes: "..."',
    ),
    ("no value", "a =\n", 1, 4, "the value after = is missing", "write the value, or delete the line"),
    (
        "open text",
        'a = "x\nb = 1',
        1,
        5,
        "the text that begins here does not end on its line",
        'close it with "',
    ),
    (
        "open text that hides a later one",
        'a = "é\nb"',
        1,
        5,
        "the text that begins here does not end on its line",
        'close it with "',
    ),
    (
        "open long text",
        "a = 1\nb = '''x\n\nc = 1\n",
        2,
        5,
        "the text that begins here does not end",
        "close it with '''",
    ),
    (
        "quotes in quotes",
        'a = "10 "ohm""',
        1,
        10,
        "something follows the value on its line",
        "put the whole value between one pair of quotes",
    ),
    (
        "no opening quote",
        'a = x"',
        1,
        5,
        "the value has no quote where it begins",
        'put the whole value between quotes: "..."',
    ),
    (
        "backslash",
        'a = "C:\\parts"',
        1,
        9,
        "a backslash in double quotes begins an escape",
        "write \\\\ for a backslash, or use single quotes",
    ),
    ("control character", 'a = "x\x07"', 1, 7, "the control character U+0007 is here", "delete it"),
    ("key twice", "a = 1\na = 2", 2, 1, "a is there twice", "delete one of the two"),
    (
        "table twice",
        "[dates]\n[dates]",
        2,
        2,
        "the table dates is there twice",
        "put the keys together under one of them, or write each as [[dates]] if it is a list",
    ),
    (
        "no such date",
        "a = 2026-02-30",
        1,
        5,
        "there is no such date or time",
        "write dates as 2026-10-22, with a time 2026-10-22T10:05:00",
    ),
    (
        "no such second",
        "a = 10:05:60",
        1,
        5,
        "this is not a time of day",
        "write times as 10:05:00, seconds up to 59",
    ),
    (
        "leading zero",
        "a = 07",
        1,
        5,
        "a number cannot begin with 0",
        "leave the zero out, or put the value between quotes",
    ),
    (
        "key of two words",
        "hot spot = 1",
        1,
        5,
        "a key of several words needs quotes",
        'write "hot spot" = ...',
    ),
    (
        "letter no bare key may hold",
        "é = 1",
        1,
        1,
        "the key é needs quotes",
        'write "é", or use only a-z, 0-9, - and _',
    ),
    (
        "words",
        "the fan rattles",
        1,
        5,
        "this line is not a key with its value and not a comment",
        "write key = value, or put # before a comment",
    ),
    ("open table", "[dates\na = 1", 1, 7, "the table's name does not end with ]", "write [name]"),
    ("open list", "a = [1,\n", 1, 8, "the list does not end", "close it with ]"),
    (
        "comma between pairs",
        "a = { b = 1 c = 2 }",
        1,
        15,
        "a comma is missing before this key, or a quote",
        "put a comma between the pairs",
    ),
    (
        "comma between lines",
        "a = { b = 1\nc = 2 }",
        2,
        1,
        "a comma is missing",
        "put a comma between the values",
    ),
    (
        "too deep",
        "a = " + "[" * 200 + "]" * 200,
        1,
        85,
        "tables or lists are nested too deeply",
        "use fewer levels",
    ),
    (
        "too deep in a key, where the parser names no place",
        "a" + ".a" * 200 + " = 1",
        1,
        1,
        "tables or lists are nested too deeply",
        "use fewer levels",
    ),
    (
        "so deep that the parser would fall over",
        'a = "[" # [\nb = ' + "[" * 100_000,
        2,
        85,
        "tables or lists are nested too deeply",
        "use fewer levels",
    ),
    (
        "far too large",
        "a = 1\nb = { c = [2, -" + "9" * 5000 + "] }",
        2,
        15,
        "the number is too large",
        "correct it, or put it between quotes",
    ),
    (
        "no such second of a day, behind a text about one",
        'a = "10:05:60"\nb = [2026-10-22T10:05:00, 2026-10-22T10:05:60.5]',
        2,
        27,
        "this is not a time of day",
        "write times as 10:05:00, seconds up to 59",
    ),
    (
        "a large number that fits, before one that does not",
        f"a = [{2**127 - 1}, {2**128}]",
        1,
        47,
        "the number is too large",
        "correct it, or put it between quotes",
    ),
    (
        "just too deep, on a later line",
        "\n" * 199 + "q = " + "[" * 80 + "]" * 80,
        200,
        84,
        "tables or lists are nested too deeply",
        "use fewer levels",
    ),
    (
        "too deep in a header, on a later line",
        "\n[" + "a." * 89 + "a]\nb = 1",
        2,
        160,
        "tables or lists are nested too deeply",
        "use fewer levels",
    ),
    ("no such year", "a = 0000-01-01", 1, 5, "there is no year 0", "correct the date"),
    ("after a byte order mark", "\ufeffa = x", 1, 5, "the value x needs quotes", 'write "x"'),
    (
        "lone carriage return",
        "a = 1\rb = 2",
        1,
        7,
        "a line ends with a lone carriage return",
        "save the file with usual line ends",
    ),
    ("the parser's own words", "a = 1.", 1, 7, "invalid fraction", "expected here: digits"),
]


@pytest.mark.parametrize(
    ("text", "line", "column", "what", "mend"), [pytest.param(*c[1:], id=c[0]) for c in _REFUSED]
)
def test_a_refusal_says_where_what_and_how_to_mend(
    text: str, line: int, column: int, what: str, mend: str
) -> None:
    with pytest.raises(TomlError) as refused:
        parse_text(text)
    error = refused.value
    assert (error.line, error.column, error.what, error.mend) == (line, column, what, mend)
    assert error.message == f"{what} (line {line}, column {column})"
    assert isinstance(error, MisuseError)


_KEY = "a" + ".a" * 78


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("a = " + "[{a = " * 490 + "1" + "}]" * 490, id="lists and tables in turn"),
        pytest.param("a = " + "[{a = " * 90_000, id="lists and tables that never end"),
        pytest.param('a = """\n[[[ \\" """\nb = ' + "[\n" * 9000, id="behind a long text"),
        pytest.param("x = { " + "a." * 50_000 + "a = 1 }", id="in the keys of a table in braces"),
        pytest.param("[" + "a." * 50_000 + "a]", id="in a header"),
        pytest.param(f"{_KEY} = {{" * 75 + "a = 1" + "}" * 75, id="in the keys of tables in tables"),
        pytest.param(f"{_KEY} = [{{" * 39 + "a = 1" + "}]" * 39, id="in the keys of tables in lists"),
        pytest.param(
            f"[{_KEY}]\n" + f"{_KEY} = {{" * 5 + f"{_KEY} = 1" + "}" * 5, id="as deep as is looked at"
        ),
        pytest.param(
            "x = [" + "0.5, " * 500 + "]\n" + f"{_KEY} = {{" * 3 + "a = 1" + "}" * 3, id="behind many dots"
        ),
    ],
)
def test_no_depth_makes_it_fall_over(text: str) -> None:
    """Not even on a small stack, such as a thread may have."""
    said: list[str] = []

    def read() -> None:
        for read in (parse_text, lambda text: parse(text.encode())):
            try:
                read(text)
            except TomlError as error:
                said.append(error.what)

    with_a_megabyte(read)
    assert said == ["tables or lists are nested too deeply"] * 2


def with_a_megabyte(work: Callable[[], None]) -> None:
    before = threading.stack_size(1 << 20)
    thread = threading.Thread(target=work)
    thread.start()
    threading.stack_size(before)
    thread.join()


@pytest.mark.parametrize("quote", ['"', '"""', "'", "'''"])
def test_a_text_full_of_quotes_that_never_ends_takes_no_time(quote: str) -> None:
    # Looked at from each of its quotes, it would take minutes.
    with pytest.raises(TomlError):
        parse_text(f"a = {quote}" + '\\".{' * 100_000)


def test_many_dots_side_by_side_are_read() -> None:
    entry = "[[reading]]\nown.a.b = [0.5, 1.5]\nof = { a.b = 0.5, c.d = { e.f = 'U.1' } } # {a.b = {\n"
    assert parse_text(entry * 300)["reading"][299] == {
        "own": {"a": {"b": [0.5, 1.5]}},
        "of": {"a": {"b": 0.5}, "c": {"d": {"e": {"f": "U.1"}}}},
    }


def test_many_brackets_side_by_side_are_read() -> None:
    text = "[[reading]]\nremoved = ['U[1', \"U]2\"] # ]\n" * 1000
    assert parse_text(text) == {"reading": [{"removed": ["U[1", "U]2"]}] * 1000}


@pytest.mark.parametrize(
    ("text", "line"),
    [
        pytest.param(f"z = 1\n{_CONFLICT}", 2, id="among the keys"),
        pytest.param(f'text = """\n{_CONFLICT}"""\n', 2, id="inside a text, where TOML allows it"),
        pytest.param(f'text = """\n{_CONFLICT}"""\n'.replace("\n", "\r\n"), 2, id="inside a text, CRLF"),
        pytest.param("a = 1\n=======\nb = 2\n", 2, id="half cleaned: the middle is left"),
        pytest.param("a = 1\n>>>>>>> theirs\n", 2, id="half cleaned: the end is left"),
        pytest.param("a = \n>>>>>>> theirs\n", 2, id="named before the other mistakes of the file"),
        pytest.param("a = 1\n||||||| base\nb = 2\n", 2, id="half cleaned: diff3's base is left"),
    ],
)
def test_an_unfinished_merge_has_words_of_its_own(text: str, line: int) -> None:
    with pytest.raises(TomlError, match="unfinished merge") as refused:
        parse_text(text)
    assert (refused.value.line, refused.value.column) == (line, 1)


@pytest.mark.parametrize(
    "text",
    [
        pytest.param('a = """\n<<<<<<< look here\n"""\n', id="one arrow in a text"),
        pytest.param('a = """\nTitle\n=======\n"""\n', id="a heading in a text"),
        pytest.param("# <<<<<<< HEAD\na = 1\n", id="in a remark"),
    ],
)
def test_what_only_looks_like_a_conflict_is_read(text: str) -> None:
    assert "a" in parse_text(text)


_WAYS_OUT = ("save the file as UTF-8", "save it as UTF-8", "restore its last good state from git")


@pytest.mark.parametrize(
    ("data", "line", "column", "what"),
    [
        pytest.param(
            'a = 1\nb = "10 µF"'.encode("cp1252"),
            2,
            9,
            "byte 0xB5 is not UTF-8 (perhaps µ as older Windows programs write it)",
            id="Windows-1252",
        ),
        pytest.param(b'"\xc2\xb5" = 1\nb = \x81', 2, 5, "byte 0x81 is not UTF-8", id="no letter anywhere"),
        pytest.param(
            'µµ = "x\udc80"'.encode(errors="surrogateescape"),
            1,
            8,
            "byte 0x80 is not UTF-8 (perhaps € as older Windows programs write it)",
            id="column in characters",
        ),
        pytest.param(
            b'a = "\xed\xa0\x80"',
            1,
            6,
            "byte 0xED is not UTF-8 (perhaps í as older Windows programs write it)",
            id="half a surrogate pair",
        ),
        pytest.param("a = 1".encode("utf-16"), 1, 1, "the file is saved as UTF-16", id="UTF-16 with mark"),
        pytest.param(
            "\ufeffa = 1".encode("utf-16-be"), 1, 1, "the file is saved as UTF-16", id="UTF-16, other order"
        ),
        pytest.param(
            "a = 1".encode("utf-16-le"), 1, 2, "the file is saved as UTF-16", id="UTF-16 without mark"
        ),
        pytest.param(b"a = 1\nb = \x002", 2, 5, "the file has empty bytes (NUL): it is damaged", id="NUL"),
        pytest.param(
            bytes(4096),
            1,
            1,
            "the file has only empty bytes (NUL): a crash emptied it",
            id="only NUL",
        ),
    ],
)
def test_bytes_that_are_no_utf_8(data: bytes, line: int, column: int, what: str) -> None:
    with pytest.raises(TomlError) as refused:
        parse(data)
    assert (refused.value.line, refused.value.column, refused.value.what) == (line, column, what)
    assert refused.value.mend in (
        "save the file as UTF-8",
        "save it as UTF-8",
        "restore its last good state from git",
    )


def test_a_byte_order_mark_is_ignored_and_kept() -> None:
    data = b"\xef\xbb\xbfa = 1\r\n"
    assert parse(data) == {"a": 1}
    assert decode(data).encode() == data


def test_toml_1_1_is_read() -> None:
    # TOML 1.1.0, "Inline Table" and "String": newlines and a last comma in braces, \e and \x.
    assert parse(b'a = {\n  b = 1, # one\n  c = "\\e\\x41",\n}\nt = 10:05\n')["a"] == {"b": 1, "c": "\x1bA"}


def test_dates_become_iso_8601() -> None:
    doc = parse(
        b"""
d = 2026-10-22
t = 10:05:00
at = 2026-10-22T10:05:00
space = 2026-10-22 10:05:00
short = 2026-10-22T10:05
offset = 2026-10-22T10:05:00+02:00
zulu = 2026-10-22T10:05:00Z
list = [2026-10-22, [10:05:00], { at = 2026-10-22 }]
kept = [1, 2.5, true, "2026-10-22", nan, -inf]
[[entry]]
at = 2026-10-22T10:05:00
"""
    )
    kept = doc["kept"]
    assert doc == {
        "d": "2026-10-22",
        "t": "10:05:00",
        "at": "2026-10-22T10:05:00",
        "space": "2026-10-22T10:05:00",
        "short": "2026-10-22T10:05:00",
        "offset": "2026-10-22T10:05:00+02:00",
        "zulu": "2026-10-22T10:05:00+00:00",
        "list": ["2026-10-22", ["10:05:00"], {"at": "2026-10-22"}],
        "kept": kept,
        "entry": [{"at": "2026-10-22T10:05:00"}],
    }
    assert kept[:4] == [1, 2.5, True, "2026-10-22"]
    assert isnan(kept[4])
    assert isinf(kept[5])


@settings(deadline=None)
@given(st.binary())
def test_any_bytes_are_read_or_refused_at_a_place_that_exists(data: bytes) -> None:
    try:
        parse(data)
    except TomlError as error:
        _assert_place_exists(error, data)


@settings(deadline=None)
@given(st.lists(st.sampled_from(PIECES), max_size=25).map("".join))
def test_any_jumble_is_read_or_refused_at_a_place_that_exists(text: str) -> None:
    try:
        parse(text.encode())
    except TomlError as error:
        _assert_place_exists(error, text.encode())


@settings(deadline=None)
@given(st.lists(st.sampled_from(PIECES), max_size=25).map("".join))
def test_another_parser_accepts_and_reads_the_same(text: str) -> None:
    # tomlkit, a general-purpose library, is the judge; it knows no byte order mark.
    text = text.replace(BOM, "")
    assert _outcome(parse_text, text) == _outcome(lambda text: tomlkit.parse(text).unwrap(), text)


def test_another_parser_reads_the_example_book_the_same() -> None:
    for file in sorted(Path("jobs_example").rglob("*.toml")):
        text = file.read_text("utf-8")
        assert parse_text(text) == tomlkit.parse(text).unwrap() == tomllib.loads(text)


def _outcome(parser: Callable[[str], object], text: str) -> str:
    try:
        return re.sub(r"tzinfo=.*?\)\)?", "offset", repr(parser(text)))
    except (TomlError, tomlkit.exceptions.TOMLKitError):
        return "refused"


def _assert_place_exists(error: TomlError, data: bytes) -> None:
    lines = data.split(b"\n")
    assert 1 <= error.line <= len(lines)
    assert 1 <= error.column <= len(lines[error.line - 1]) + 1
    assert error.what
    assert error.mend
    assert "\n" not in error.what + error.mend


def test_the_example_book_is_read() -> None:
    files = sorted(Path("jobs_example/jobs").rglob("*.toml"))
    assert files
    for file in files:
        assert parse(file.read_bytes())["id"] == file.stem
