"""Places of keys and values: exact for every form of TOML, and total on everything else."""

from typing import Any

import pytest
import rtoml
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from jobkit.book.toml.outline import KeyPath, outline
from jobkit.book.toml.positions import Position, locate, positions
from tests.book.odd_toml import KEYS, PIECES, odd, paths

# Lines and columns below were counted by hand.
_FORMS: list[tuple[str, str, dict[KeyPath, tuple[int, int]]]] = [
    ("root key", "# x\n\na = 1", {("a",): (3, 1)}),
    ("indented by a tab", "\ta = 1", {("a",): (1, 2)}),
    ("table", "[a]\nb = 1", {("a",): (1, 2), ("a", "b"): (2, 1)}),
    (
        "table with spaces",
        " [ a . b ]\n  c = 1",
        {("a",): (1, 4), ("a", "b"): (1, 8), ("a", "b", "c"): (2, 3)},
    ),
    (
        "table told after its sub-table",
        "[a.b]\n[a]\nc = 1",
        {("a",): (2, 2), ("a", "b"): (1, 4), ("a", "c"): (3, 1)},
    ),
    (
        "entries",
        "[[a]]\nb = 1\n[[a]]\nb = 2",
        {("a",): (1, 3), ("a", 0): (1, 1), ("a", 0, "b"): (2, 1), ("a", 1): (3, 1), ("a", 1, "b"): (4, 1)},
    ),
    (
        "table in an entry",
        "[[a]]\n[a.b]\nc = 1\n[[a]]\n[a.b]\nc = 2",
        {
            ("a", 0, "b"): (2, 4),
            ("a", 0, "b", "c"): (3, 1),
            ("a", 1, "b"): (5, 4),
            ("a", 1, "b", "c"): (6, 1),
        },
    ),
    (
        "table in an entry, after another table",
        "[[a]]\n[x]\n[a.b]\nc = 1",
        {("a", 0, "b", "c"): (4, 1), ("x",): (2, 2)},
    ),
    (
        "entries in an entry",
        "[[a]]\n[[a.b]]\nc = 1\n[[a.b]]\n[[a]]\n[[a.b]]\nc = 3",
        {
            ("a", 0, "b"): (2, 5),
            ("a", 0, "b", 0): (2, 1),
            ("a", 0, "b", 1): (4, 1),
            ("a", 1, "b"): (6, 5),
            ("a", 1, "b", 0, "c"): (7, 1),
        },
    ),
    (
        "entries of a table told later",
        "[[a.b]]\n[a]\nc = 1\n[[a.b]]",
        {("a",): (2, 2), ("a", "b", 1): (4, 1)},
    ),
    (
        "dotted keys",
        "a.b.c = 1\na.b.d = 2",
        {("a",): (1, 1), ("a", "b"): (1, 3), ("a", "b", "c"): (1, 5), ("a", "b", "d"): (2, 5)},
    ),
    (
        "quoted keys",
        '"hot spot" = 1\n\'a.b\' . "\\u00e9" = 2',
        {("hot spot",): (1, 1), ("a.b",): (2, 1), ("a.b", "é"): (2, 9)},
    ),
    (
        "quoted key in a header",
        '[proof."graphics card".x]',
        {("proof", "graphics card"): (1, 8), ("proof", "graphics card", "x"): (1, 24)},
    ),
    ("empty key", '"" = 1', {("",): (1, 1)}),
    ("digits as keys", "1.2 = 3", {("1",): (1, 1), ("1", "2"): (1, 3)}),
    (
        "braces",
        'a = { b = 1, c.d = 2, "e" = { f = 3 } }',
        {
            ("a", "b"): (1, 7),
            ("a", "c"): (1, 14),
            ("a", "c", "d"): (1, 16),
            ("a", "e"): (1, 23),
            ("a", "e", "f"): (1, 31),
        },
    ),
    (
        "braces over lines (TOML 1.1)",
        "a = { # }\n  b = 1, # ,\n  c = 2,\n}\nd = 1",
        {("a", "b"): (2, 3), ("a", "c"): (3, 3), ("d",): (5, 1)},
    ),
    (
        "list over lines",
        "a = [\n  1, # ]\n\n  [2, 3],\n  { b = 4 },\n]\nc = 1",
        {
            ("a", 0): (2, 3),
            ("a", 1): (4, 3),
            ("a", 1, 1): (4, 7),
            ("a", 2): (5, 3),
            ("a", 2, "b"): (5, 5),
            ("c",): (7, 1),
        },
    ),
    ("long text", 'a = """\n[x]\n\\""" b = 1\n"""\nc = 1', {("a",): (1, 1), ("c",): (5, 1)}),
    (
        "long text that ends in quotes",
        "a = \"\"\"x\"\"\"\"\"\nb = '''y'''''\nc = 1",
        {("b",): (2, 1), ("c",): (3, 1)},
    ),
    ("long literal text", "a = '''\nb = 1 \\\n'''\nc = 1", {("c",): (4, 1)}),
    ("empty texts", "a = \"\"\nb = ''\nc = \"\"\"\"\"\"\nd = ''''''\ne = 1", {("e",): (5, 1)}),
    ("date with a space", "a = 2026-10-22 10:05:00 # x\nb = [2026-10-22 10:05, 1]", {("b", 1): (2, 24)}),
    ("CRLF", "[a]\r\nb = '''\r\nx'''\r\nc = 1\r\n", {("a", "c"): (4, 1)}),
    ("byte order mark", "\ufeffa = 1\nb = 2", {("a",): (1, 1), ("b",): (2, 1)}),
    ("letters outside ASCII count one each", '"µ😀" . b = 1', {("µ😀", "b"): (1, 8)}),
]


@pytest.mark.parametrize(
    ("text", "expected"), [pytest.param(text, places, id=name) for name, text, places in _FORMS]
)
def test_the_place_of_a_key(text: str, expected: dict[KeyPath, tuple[int, int]]) -> None:
    places = positions(text)
    assert {path: tuple(places[path]) for path in expected} == expected
    assert set(places) == {path for path, _ in paths(rtoml.loads(text))}


@pytest.mark.parametrize(
    ("path", "line", "column"),
    [
        pytest.param(("a",), 2, 5, id="plain value"),
        pytest.param(("b", "c"), 3, 9, id="of a dotted key"),
        pytest.param(("t",), 4, 1, id="of a table: its header"),
        pytest.param(("t", "x"), 5, 6, id="braces"),
        pytest.param(("t", "x", "y"), 5, 12, id="within braces"),
        pytest.param(("e", 1), 8, 2, id="entry"),
    ],
)
def test_the_place_of_a_value(path: KeyPath, line: int, column: int) -> None:
    text = '# x\na = "1"\nb.c =   2\n[t]\n x = { y = 3 }\n\n[[e]]\n [[e]]\n'
    assert positions(text).value(path) == Position(line, column)


@pytest.mark.parametrize(
    ("path", "line", "column"),
    [
        pytest.param(("title",), 1, 1, id="missing root key: the first line"),
        pytest.param((), 1, 1, id="the document"),
        pytest.param(("dates", "received"), 2, 2, id="missing key: its table"),
        pytest.param(("reading", 1, "value"), 5, 1, id="missing key of an entry: its entry"),
        pytest.param(("reading", 1, "removed", 2), 5, 1, id="what a missing key would hold: the same"),
        pytest.param(("reading", 0, "at"), 4, 1, id="what is there"),
        pytest.param(("reading", 7), 3, 3, id="missing entry: the list"),
    ],
)
def test_a_missing_path_is_found_at_its_nearest_parent(path: KeyPath, line: int, column: int) -> None:
    text = "format = 1\n[dates]\n[[reading]]\nat = 1\n[[reading]]\n"
    assert locate(positions(text), path) == Position(line, column)


@settings(max_examples=400, deadline=None)
@given(st.integers(0, 2**64))
def test_every_path_of_an_odd_document_is_found_exactly(seed: int) -> None:
    made = odd(seed)
    doc = rtoml.loads(made.text)
    assert doc == made.doc
    _assert_exact(made.text, doc)
    found = outline(made.text)
    assert found.lost is None
    for path, span in found.spans.items():
        key = path[-1]
        if isinstance(key, str):
            assert made.text[span.key_start : span.key_end] in made.spelled[key]


_SCALARS = st.one_of(
    st.text(st.characters(exclude_categories=["Cs"])),
    st.integers(-(2**63), 2**63 - 1),
    st.floats(allow_nan=False),
    st.booleans(),
    st.dates(),
    st.datetimes(),
    st.times(),
)
_NAMES = st.sampled_from(KEYS) | st.text(st.characters(exclude_categories=["Cs"]))
_DOCS = st.dictionaries(
    _NAMES,
    st.recursive(
        _SCALARS,
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(_NAMES, inner, max_size=3),
        max_leaves=8,
    ),
    max_size=5,
)


@settings(deadline=None)
@given(_DOCS)
def test_every_path_that_another_library_writes_is_found(doc: dict[str, Any]) -> None:
    text = tomlkit.dumps(doc)
    _assert_exact(text, rtoml.loads(text))


def _assert_exact(text: str, doc: dict[str, Any]) -> None:
    """Every path has a place; the key stands there and the value after its equals sign."""
    found = outline(text)
    places = positions(text)
    lines = text.removeprefix("\ufeff").split("\n")
    expected = dict(paths(doc))
    assert set(places) == set(expected)
    for path, value in expected.items():
        span = found.spans[path]
        line, column = places[path]
        written = text[span.key_start : span.key_end]
        assert lines[line - 1][column - 1 :].startswith(written.split("\n")[0])
        if isinstance(path[-1], str):
            assert rtoml.loads(f"{written} = 1") == {path[-1]: 1}
        if span.form == "value":
            assert rtoml.loads(f"x = {text[span.start : span.end]}") == {"x": value}
            assert text[span.key_end : span.start].strip(" \t") == ("=" if isinstance(path[-1], str) else "")


_BROKEN = [
    ("open list", "a = [1,\n2\n[b]\nc = 1", [("a",), ("b",), ("b", "c")]),
    ("open long text", 'a = """x\n[b]\nc = 1', [("a",), ("b",), ("b", "c")]),
    ("open braces", "a = { b = 1\n[c]\nd = 1", [("a",), ("a", "b"), ("c",), ("c", "d")]),
    ("open header", "[[a]\nb = 1\n[c", [("a", 0), ("a", 0, "b"), ("c",)]),
    ("value without quotes", "[a]\nb = 23.4 Ω\nc = 1", [("a", "b"), ("a", "c")]),
    ("words", "the fan rattles\na = 1", [("a",)]),
    ("no value", "a =\nb = 1", [("a",), ("b",)]),
    ("conflict", "<<<<<<< HEAD\na = 1\n=======\nb = 2\n>>>>>>> x", [("a",), ("b",)]),
    ("key that is not a text", 'a."\\q" = 1\nb = 1', [("a",), ("b",)]),
]


@pytest.mark.parametrize(
    ("text", "expected"), [pytest.param(text, found, id=name) for name, text, found in _BROKEN]
)
def test_what_can_be_found_in_broken_text_is_found(text: str, expected: list[KeyPath]) -> None:
    places = positions(text)
    assert [path for path in expected if path not in places] == []
    assert places[expected[-1]].line == text.count("\n") + 1 if expected[-1][-1] != "b" else True


@settings(deadline=None)
@given(st.lists(st.sampled_from(PIECES), max_size=40).map("".join) | st.text())
def test_no_text_is_too_broken(text: str) -> None:
    lines = text.removeprefix("\ufeff").split("\n")
    for line, column in positions(text).values():
        assert 1 <= line <= len(lines)
        assert 1 <= column <= len(lines[line - 1]) + 1


@pytest.mark.parametrize(
    "piece",
    [
        "a=[",
        "a=[1,\n",
        "a={b=1,\n",
        "a={b=[",
        '"""',
        'a="""\n',
        "a='''\n",
        'a="""\\"""\n',
        "[a.",
        "a.",
        "a\n",
        "[[a]]\n",
        "a=[[1],\n",
        'a=["""x",\n',
        "#\n",
        "\r",
        '"\\',
        "'a'.",
        "a='\n",
    ],
    ids=repr,
)
def test_broken_text_takes_no_more_than_its_length(piece: str) -> None:
    """A quadratic scanner would need hours here, a linear one a second at most."""
    assert len(outline(piece * 40_000).spans) <= 40_000 * 3


def test_a_long_key_takes_no_more_than_its_length() -> None:
    assert len(outline("a" + ".a" * 100_000 + " = 1").spans) < 200
