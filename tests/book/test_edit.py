"""Edits: what is asked for changes, and every other byte stays."""

import json
from collections.abc import Callable
from datetime import UTC, date, datetime, time
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any

import pytest
import rtoml
from hypothesis import given, settings
from hypothesis import strategies as st

from jobkit.book.edit import EditError, Value, append_entry, remove_entry, remove_key, replace_value, set_key
from jobkit.book.edit.places import USUAL_ORDER
from jobkit.book.edit.proof import proven
from jobkit.book.edit.written import written
from jobkit.book.toml.outline import KeyPath, outline
from jobkit.book.toml.parse import TomlError
from tests.book.odd_toml import KEYS, odd, paths

_AT = datetime(2026, 10, 22, 10, 5)


@pytest.mark.parametrize(
    ("before", "table", "after"),
    [
        pytest.param("", "a", "[[a]]\nn = 1\n", id="empty file"),
        pytest.param("\ufeff", "a", "\ufeff[[a]]\nn = 1\n", id="only a byte order mark"),
        pytest.param("x = 1\n", "a", "x = 1\n\n[[a]]\nn = 1\n", id="first entry"),
        pytest.param("x = 1", "a", "x = 1\n\n[[a]]\nn = 1", id="no final newline: none after"),
        pytest.param("x = 1\r\n", "a", "x = 1\r\n\r\n[[a]]\r\nn = 1\r\n", id="CRLF"),
        pytest.param(
            "x = 1\r\ny = 2", "a", "x = 1\r\ny = 2\r\n\r\n[[a]]\r\nn = 1", id="CRLF, no final newline"
        ),
        pytest.param("x = 1\n\n\n", "a", "x = 1\n\n\n\n[[a]]\nn = 1\n", id="blank lines at the end"),
        pytest.param(
            "[[a]]\nm = 1 # x\n\n\n[b]\n",
            "a",
            "[[a]]\nm = 1 # x\n\n[[a]]\nn = 1\n\n\n[b]\n",
            id="behind the last of its kind",
        ),
        pytest.param("[[a]]\n[b]\n", "a", "[[a]]\n[[a]]\nn = 1\n[b]\n", id="tight file stays tight"),
        pytest.param(
            "[[a]]\nm = 1\n# of a\n\n# of b\n[b]\n",
            "a",
            "[[a]]\nm = 1\n# of a\n\n[[a]]\nn = 1\n\n# of b\n[b]\n",
            id="remarks stay with their blocks",
        ),
        pytest.param(
            "[[a]]\n# of b\n[b]\n",
            "a",
            "[[a]]\n[[a]]\nn = 1\n# of b\n[b]\n",
            id="remark above the next header",
        ),
        pytest.param(
            "[[a]]\nm = 1\n# end\n", "a", "[[a]]\nm = 1\n# end\n\n[[a]]\nn = 1\n", id="remark at the end"
        ),
        pytest.param(
            "[[a]]\n[a.b]\nx = 1\n\n[c]\n",
            "a",
            "[[a]]\n[a.b]\nx = 1\n\n[[a]]\nn = 1\n\n[c]\n",
            id="behind the last one's own table",
        ),
        pytest.param(
            "[[a]]\n[b]\n[a.c]\n",
            "a",
            "[[a]]\n[b]\n[a.c]\n\n[[a]]\nn = 1\n",
            id="behind a table of its own that stands apart",
        ),
        pytest.param(
            "[[p]]\n[[p.w]]\nx = 1\n[[p]]\n[[p.w]]\nx = 2\n\n[z]\n",
            "p.w",
            "[[p]]\n[[p.w]]\nx = 1\n[[p]]\n[[p.w]]\nx = 2\n\n[[p.w]]\nn = 1\n\n[z]\n",
            id="within the last entry",
        ),
        pytest.param(
            "[[p]]\n[[p.w]]\nx = 1\n\n[[p]]\n",
            ("p", 0, "w"),
            "[[p]]\n[[p.w]]\nx = 1\n\n[[p.w]]\nn = 1\n\n[[p]]\n",
            id="within a named entry",
        ),
        pytest.param(
            "[[p]]\nx = 1\n\n[[p]]\n",
            ("p", 0, "w"),
            "[[p]]\nx = 1\n\n[[p.w]]\nn = 1\n\n[[p]]\n",
            id="first within a named entry",
        ),
        pytest.param("a = []\n", "a", "a = [{ n = 1 }]\n", id="empty list in brackets"),
        pytest.param("a = [{ m = 1 }] # x\n", "a", "a = [{ m = 1 }, { n = 1 }] # x\n", id="list in brackets"),
        pytest.param(
            "a = [\n  { m = 1 },\n]\n",
            "a",
            "a = [\n  { m = 1 }, { n = 1 },\n]\n",
            id="list in brackets, last comma",
        ),
        pytest.param("p = { x = 1 }\n", "p.a", "p = { x = 1, a = [{ n = 1 }] }\n", id="within braces"),
        pytest.param("p.x = 1\n[q]\n", "p.a", "p.x = 1\np.a = [{ n = 1 }]\n[q]\n", id="beside dotted keys"),
        pytest.param(
            "[price]\nquoted = 1\n\n[warranty]\n",
            "price.agreed",
            "[price]\nquoted = 1\n\n[[price.agreed]]\nn = 1\n\n[warranty]\n",
            id="within a table",
        ),
    ],
)
def test_an_entry_is_appended(before: str, table: str | KeyPath, after: str) -> None:
    assert append_entry(before, table, {"n": 1}) == after


@pytest.mark.parametrize(
    ("table", "order"),
    [
        pytest.param("wait", ["board", "intake", "dates", "wait", "work", "price", "waive"], id="between"),
        pytest.param(
            "work", ["board", "intake", "dates", "work", "work", "price", "waive"], id="with its kind"
        ),
        pytest.param("own", ["board", "intake", "dates", "work", "price", "waive", "own"], id="at the end"),
        pytest.param(
            "something",
            ["board", "intake", "dates", "work", "price", "waive", "something"],
            id="unknown: at the end",
        ),
        pytest.param("tax", ["tax", "board", "intake", "dates", "work", "price", "waive"], id="before all"),
    ],
)
def test_a_first_entry_goes_where_the_usual_order_wants_it(table: str, order: list[str]) -> None:
    before = "format = 1\n\n[board]\n\n[intake]\n\n[dates]\n\n[[work]]\n\n[price]\n\n[[waive]]\n"
    after = append_entry(before, table, {})
    assert [section.path[0] for section in outline(after).sections[1:]] == order
    assert "\n\n\n" not in after


def test_every_table_of_the_schemas_has_its_place_in_the_usual_order() -> None:
    """The order is the schemas'; what is not a table there is a plain key that stands above all tables."""
    for schema in Path("schema").glob("*.schema.json"):
        doc = json.loads(schema.read_text(encoding="utf-8"))
        tables = [name for name, rule in doc["properties"].items() if _is_table(doc, rule)]
        places = [USUAL_ORDER.index(name) for name in tables]
        assert places == sorted(places), schema.name


def _is_table(schema: dict[str, Any], rule: dict[str, Any]) -> bool:
    if "$ref" in rule:
        return _is_table(schema, schema["$defs"][rule["$ref"].removeprefix("#/$defs/")])
    return rule.get("type") == "object" or (rule.get("type") == "array" and _is_table(schema, rule["items"]))


def test_an_entry_holds_its_keys_in_order_and_every_kind_of_value() -> None:
    entry: dict[str, Value] = {
        "at": _AT,
        "value": "23.4 Ω",
        "on": date(2026, 10, 22),
        "time": time(10, 5),
        "probe": {"t1": "Q214 joint", "hot spot": "U5"},
        "removed": ["U1", "U2"],
        "settled": False,
        "minutes": 20,
        "percent": 0.5,
        "step": Decimal("0.010"),
        "count": Decimal(14),
        "big": Decimal("1E+3"),
        "said": 'he said "no"',
        "path": "C:\\parts",
        "it": 'it\'s "so"',
        "lines": "one\ntwo",
        "odd key": "",
        "": {},
    }
    text = append_entry("", "reading", entry)
    assert text == (
        "[[reading]]\n"
        "at = 2026-10-22T10:05:00\n"
        'value = "23.4 Ω"\n'
        "on = 2026-10-22\n"
        "time = 10:05:00\n"
        'probe = { t1 = "Q214 joint", "hot spot" = "U5" }\n'
        'removed = ["U1", "U2"]\n'
        "settled = false\n"
        "minutes = 20\n"
        "percent = 0.5\n"
        "step = 0.010\n"
        "count = 14\n"
        "big = 1000\n"
        "said = 'he said \"no\"'\n"
        "path = 'C:\\parts'\n"
        'it = "it\'s \\"so\\""\n'
        'lines = "one\\ntwo"\n'
        '"odd key" = ""\n'
        '"" = {}\n'
    )


def test_equals_signs_are_lined_up_where_the_block_before_has_them_so() -> None:
    before = '[[reading]]\nat    = 2026-10-22\npoint = "V12"\n'
    after = append_entry(before, "reading", {"at": date(2026, 10, 23), "removed": ["U5"], "x": 1})
    assert after == before + '\n[[reading]]\nat      = 2026-10-23\nremoved = ["U5"]\nx       = 1\n'
    before = '[[reading]]\nat = 2026-10-22\npoint = "V12"\n'
    after = append_entry(before, "reading", {"at": date(2026, 10, 23), "removed": ["U5"]})
    assert after == before + '\n[[reading]]\nat = 2026-10-23\nremoved = ["U5"]\n'


@pytest.mark.parametrize(
    ("before", "path", "after"),
    [
        pytest.param("", ("k",), "k = 1\n", id="empty file"),
        pytest.param("x = 1\n\n[a]\ny = 1\n", ("k",), "x = 1\nk = 1\n\n[a]\ny = 1\n", id="root key"),
        pytest.param(
            "#:schema s\n[a]\n", ("k",), "#:schema s\nk = 1\n[a]\n", id="the editors' line stays first"
        ),
        pytest.param(
            "# my bench\n\n[a]\n",
            ("k",),
            "# my bench\nk = 1\n\n[a]\n",
            id="the file's own remark stays first",
        ),
        pytest.param("# of a\n[a]\n", ("k",), "k = 1\n# of a\n[a]\n", id="a table's remark stays with it"),
        pytest.param("[a]\n\n[b]\n", ("a", "k"), "[a]\nk = 1\n\n[b]\n", id="table without keys"),
        pytest.param(
            "[a]\nx = 1 # y\n# z\n\n[b]\n",
            ("a", "k"),
            "[a]\nx = 1 # y\nk = 1\n# z\n\n[b]\n",
            id="behind the last key",
        ),
        pytest.param("[a]\nx = 1", ("a", "k"), "[a]\nx = 1\nk = 1", id="no final newline"),
        pytest.param("[a]", ("a", "k"), "[a]\nk = 1", id="only a header, no final newline"),
        pytest.param(
            "[a]\r\nx = '''\r\n'''\r\n",
            ("a", "k"),
            "[a]\r\nx = '''\r\n'''\r\nk = 1\r\n",
            id="CRLF, long text",
        ),
        pytest.param("[a]\n\tx = 1\n", ("a", "k"), "[a]\n\tx = 1\n\tk = 1\n", id="indented"),
        pytest.param(
            "[a]\nxx  = 1\nyyy = 1\n", ("a", "k"), "[a]\nxx  = 1\nyyy = 1\nk   = 1\n", id="lined up"
        ),
        pytest.param(
            "[a]\nxx = 1\nyy = 1\n", ("a", "k"), "[a]\nxx = 1\nyy = 1\nk = 1\n", id="even by chance"
        ),
        pytest.param("x = 1\n", ("a", "k"), "x = 1\n\n[a]\nk = 1\n", id="missing table"),
        pytest.param("x = 1\n", ("a", "b c", "k"), 'x = 1\n\n[a."b c"]\nk = 1\n', id="missing tables"),
        pytest.param(
            "[board]\n\n[price]\n",
            ("dates", "k"),
            "[board]\n\n[dates]\nk = 1\n\n[price]\n",
            id="missing table in the usual order",
        ),
        pytest.param(
            "[a.b]\n", ("a", "k"), "[a.b]\n\n[a]\nk = 1\n", id="table that only its sub-table implies"
        ),
        pytest.param(
            "[a.b]\n\n[c]\n", ("a", "d", "k"), "[a.b]\n\n[a.d]\nk = 1\n\n[c]\n", id="beside its relatives"
        ),
        pytest.param("[[a]]\n[[a]]\n", ("a", 0, "k"), "[[a]]\nk = 1\n[[a]]\n", id="entry"),
        pytest.param(
            "[[a]]\nx = 1\n\n[[a]]\n",
            ("a", 0, "b", "k"),
            "[[a]]\nx = 1\n\n[a.b]\nk = 1\n\n[[a]]\n",
            id="new table in an entry",
        ),
        pytest.param("a.x = 1\ny = 1\n", ("a", "k"), "a.x = 1\na.k = 1\ny = 1\n", id="dotted"),
        pytest.param(
            "[t]\na.b.x = 1\n", ("t", "a", "c", "k"), "[t]\na.b.x = 1\na.c.k = 1\n", id="dotted, deeper"
        ),
        pytest.param("a = {}\n", ("a", "k"), "a = { k = 1 }\n", id="empty braces"),
        pytest.param("a = { }\n", ("a", "k"), "a = { k = 1 }\n", id="empty braces with a space"),
        pytest.param(
            "a = { x = { y = 1 } } # z\n", ("a", "k"), "a = { x = { y = 1 }, k = 1 } # z\n", id="braces"
        ),
        pytest.param(
            "a = {\n  x = 1, # z\n}\n", ("a", "k"), "a = {\n  x = 1, k = 1, # z\n}\n", id="braces over lines"
        ),
        pytest.param(
            "a = { x = 1 }\n", ("a", "b", "k"), "a = { x = 1, b = { k = 1 } }\n", id="new table within braces"
        ),
        pytest.param(
            "a = [{ x = 1 }]\n", ("a", 0, "k"), "a = [{ x = 1, k = 1 }]\n", id="braces within brackets"
        ),
        pytest.param("k = 2 # y\n", ("k",), "k = 1 # y\n", id="key that is there"),
        pytest.param("k = 0x1\n", ("k",), "k = 0x1\n", id="value that says the same already"),
        pytest.param("k = true\n", ("k",), "k = 1\n", id="value that only Python takes for the same"),
        pytest.param("a = [\n 3, # x\n 2\n]\n", ("a", 1), "a = [\n 3, # x\n 1\n]\n", id="element of a list"),
    ],
)
def test_a_key_is_set(before: str, path: KeyPath, after: str) -> None:
    assert set_key(before, path, 1) == after


def test_a_table_that_is_set_at_the_top_gets_a_header() -> None:
    before = "[board]\n\n[price]\n"
    after = set_key(before, ("cause",), {"part": "Q214", "fault": "shorted"})
    assert after == '[board]\n\n[cause]\npart = "Q214"\nfault = "shorted"\n\n[price]\n'
    assert set_key("[a]\n", ("a", "b"), {"c": 1}) == "[a]\nb = { c = 1 }\n"


@pytest.mark.parametrize(
    ("before", "path", "after"),
    [
        pytest.param(
            "x = 1\n\n[[a]]\nn = 1\n", ("a", 0), "x = 1\n", id="last entry: nothing of the table is left"
        ),
        pytest.param("[[a]]\nn = 1\n\n[[a]]\nn = 2\n", ("a", 0), "\n[[a]]\nn = 2\n", id="first of the file"),
        pytest.param("[[a]]\n\n[[a]]\n[a.b]\n\n[c]\n", ("a", 1), "[[a]]\n\n[c]\n", id="with its tables"),
        pytest.param("[[a]]\n[x]\n[a.b]\n[y]\n", ("a", 0), "[x]\n[y]\n", id="with tables that stand apart"),
        pytest.param(
            "x = 1\n\n# mine\n[[a]]\n# in\n# after\n\n# next\n[b]\n",
            ("a", 0),
            "x = 1\n\n# next\n[b]\n",
            id="with its remarks",
        ),
        pytest.param("#:schema s\n[[a]]\nn = 1\n", ("a", 0), "#:schema s\n", id="without the editors' line"),
        pytest.param("x = 1\n\n[[a]]\nn = 1", ("a", 0), "x = 1", id="no final newline"),
        pytest.param("x = 1\r\n\r\n[[a]]\r\nn = 1", ("a", 0), "x = 1", id="no final newline, CRLF"),
        pytest.param("[a]\nx = 1 # y\nk = 1\n", ("a", "x"), "[a]\nk = 1\n", id="key with its line"),
        pytest.param("[a]\nx = '''\n\n'''\nk = 1\n", ("a", "x"), "[a]\nk = 1\n", id="key with all its lines"),
        pytest.param("a.x = 1\nb = 1\na.y = 2\n", ("a",), "b = 1\n", id="all of a dotted table"),
        pytest.param("[a.b]\nx = 1\n\n[c]\n\n[a]\ny = 1\n", ("a",), "\n[c]\n", id="a table and all within"),
        pytest.param("a = [1, 2, 3]\n", ("a", 0), "a = [2, 3]\n", id="first of a list"),
        pytest.param("a = [1, 2, 3,]\n", ("a", 2), "a = [1, 2,]\n", id="last of a list, with comma"),
        pytest.param(
            "a = [\n 1, # one\n 2, # two\n]\n",
            ("a", 1),
            "a = [\n 1 # one\n , # two\n]\n",
            id="remarks in a list",
        ),
        pytest.param("a = [1]\n", ("a", 0), "a = []\n", id="only one of a list"),
        pytest.param("a = { x = 1, y = 2 }\n", ("a", "x"), "a = { y = 2 }\n", id="first in braces"),
        pytest.param("a = { x = 1, y = 2 }\n", ("a", "y"), "a = { x = 1 }\n", id="last in braces"),
    ],
)
def test_what_is_taken_out_goes_with_what_belongs_to_it(before: str, path: KeyPath, after: str) -> None:
    assert remove_key(before, path) == after


_REFUSED: list[tuple[str, Callable[[], str], str]] = [
    ("append to a single table", lambda: append_entry("[a]\n", "a", {}), "a is not a list of tables here"),
    ("append to a plain value", lambda: append_entry("a = 1\n", "a", {}), "a is not a list of tables here"),
    (
        "append within a plain value",
        lambda: append_entry("a = 1\n", "a.b", {}),
        "there is no place for a.b in this file",
    ),
    (
        "set within a plain value",
        lambda: set_key("a = 1\n", ("a", "b"), 1),
        "there is no place for a.b in this file",
    ),
    ("set in a list", lambda: set_key("[[a]]\n", ("a", "b"), 1), "there is no place for a.b in this file"),
    (
        "set in an entry that is not there",
        lambda: set_key("[[a]]\n", ("a", 1, "b"), 1),
        "there is no place for a.b",
    ),
    ("set a whole table", lambda: set_key("[a]\n", ("a",), 1), "a is not a single value in this file"),
    (
        "replace what is missing",
        lambda: replace_value("a = 1\n", ("b",), 1),
        "b is not a single value in this file",
    ),
    ("take out what is missing", lambda: remove_key("a = 1\n", ("b",)), "there is no b in this file"),
    (
        "take out an entry too many",
        lambda: remove_entry("[[a]]\n", "a", 1),
        "there is no such entry of a in this file",
    ),
    (
        "take out of no list",
        lambda: remove_entry("[a]\n", "a", 0),
        "there is no such entry of a in this file",
    ),
    (
        "take out part of a dotted key in braces",
        lambda: remove_key("a = { b.c = 1 }\n", ("a", "b", "c")),
        "a.b.c is part of a dotted key here",
    ),
    (
        "a text that is no UTF-8",
        lambda: set_key("", ("a",), "x\udc80"),
        "'x?' has bytes that are not text",
    ),
    ("a key that is no UTF-8", lambda: set_key("", ("\udc80",), 1), "'?' has bytes that are not text"),
    ("no number", lambda: set_key("", ("a",), Decimal("NaN")), "NaN is not a number that can be written"),
]


@pytest.mark.parametrize(
    ("edit", "message"), [pytest.param(edit, message, id=name) for name, edit, message in _REFUSED]
)
def test_an_edit_that_cannot_be_made_is_refused(edit: Callable[[], str], message: str) -> None:
    with pytest.raises(EditError) as refused:
        edit()
    assert message in refused.value.message
    assert refused.value.mend


@pytest.mark.parametrize(
    "edit",
    [
        pytest.param(lambda text: append_entry(text, "a", {}), id="append"),
        pytest.param(lambda text: set_key(text, ("a",), 1), id="set"),
        pytest.param(lambda text: remove_key(text, ("a",)), id="take out"),
        pytest.param(lambda text: replace_value(text, ("a",), 1), id="replace"),
        pytest.param(lambda text: remove_entry(text, "a", 0), id="take out an entry"),
    ],
)
def test_a_broken_file_is_not_edited(edit: Callable[[str], str]) -> None:
    with pytest.raises(TomlError) as refused:
        edit("a = 1\nb = x y\n")
    assert refused.value.line == 2


@pytest.mark.parametrize(
    "new",
    [
        pytest.param("a = 1\nb = 2\n", id="something else came too"),
        pytest.param("b = 1\n", id="something was lost"),
        pytest.param("a = 2\n", id="something changed"),
        pytest.param("a = 1.0\nb = 1\n", id="something changed its kind"),
        pytest.param("a = 1\nb = \n", id="no TOML"),
    ],
)
def test_a_change_that_was_not_wanted_is_refused(new: str) -> None:
    with pytest.raises(EditError, match="b cannot be changed in this file without touching the rest"):
        proven("a = 1\n", new, ("b",), lambda doc: doc.update(b=1))


def test_nan_does_not_stand_in_the_way() -> None:
    assert set_key("a = nan\nb = [inf, -nan]\n", ("c",), 1) == "a = nan\nb = [inf, -nan]\nc = 1\n"


_VALUES = st.recursive(
    st.text(st.characters(exclude_categories=["Cs"]))
    | st.integers(-(2**63), 2**63 - 1)  # what TOML asks of a reader
    | st.floats(allow_nan=False)
    | st.booleans()
    | st.dates()
    | st.datetimes()
    | st.datetimes(timezones=st.just(UTC))
    | st.times(),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(KEYS) | st.text(st.characters(exclude_categories=["Cs"])), inner, max_size=3
        )
    ),
    max_leaves=6,
)


@settings(deadline=None)
@given(_VALUES)
def test_every_value_is_read_as_it_was_written(value: Value) -> None:
    text = written(value)
    assert "\n" not in text
    assert rtoml.loads(f"x = {text}\n") == {"x": value}


class _Edits:
    """Random edits of an odd document, from one seed."""

    def __init__(self, seed: int) -> None:
        self.chance = Random(seed)  # noqa: S311 - nothing secret
        self.text, self.doc, _ = odd(seed)
        self.found = outline(self.text)
        self.all = dict(paths(self.doc))

    def tables(self) -> list[KeyPath]:
        return [(), *(path for path, value in self.all.items() if isinstance(value, dict))]

    def new_key(self) -> KeyPath:
        deep = ("deep",) if self.chance.random() < 0.3 else ()
        return (*self.chance.choice(self.tables()), self.chance.choice(("new", "new key")), *deep)

    def list_of_tables(self) -> KeyPath:
        lists = [path for path, value in self.all.items() if isinstance(value, list)]
        return self.chance.choice(lists) if lists and self.chance.random() < 0.6 else self.new_key()

    def dotted_within_braces(self, path: KeyPath) -> bool:
        span = self.found.spans[path]
        part = span.form == "dotted" or self.text[: span.key_start].rstrip().endswith(".")
        return part and any(self.found.spans[path[:length]].form == "value" for length in range(1, len(path)))

    def value(self) -> Value:
        return self.chance.choice(
            ("plain", 'a "b"', 2, 1.5, True, [1, 2], {"p": {"q": 1}}, date(2026, 10, 22))
        )


_SEEDS = st.integers(0, 2**64)


@settings(max_examples=300, deadline=None)
@given(_SEEDS)
def test_an_appended_entry_leaves_every_other_byte_and_is_undone_exactly(seed: int) -> None:
    edits = _Edits(seed)
    path = edits.list_of_tables()
    entry: dict[str, Value] = {"at": _AT, "odd key": edits.value()}
    new = append_entry(edits.text, path, entry)
    _assert_one_insertion(edits.text, new)
    assert _at(rtoml.loads(new), path)[-1] == {"at": _AT, "odd key": entry["odd key"]}
    if outline(new).spans[path].form == "header":
        assert remove_entry(new, path, -1) == edits.text


@settings(max_examples=300, deadline=None)
@given(_SEEDS)
def test_a_new_key_leaves_every_other_byte(seed: int) -> None:
    edits = _Edits(seed)
    path, value = edits.new_key(), edits.value()
    new = set_key(edits.text, path, value)
    _assert_one_insertion(edits.text, new)
    assert _at(rtoml.loads(new), path) == value
    assert path not in outline(remove_key(new, path)).spans


@settings(max_examples=300, deadline=None)
@given(_SEEDS)
def test_a_replaced_value_leaves_every_other_byte(seed: int) -> None:
    edits = _Edits(seed)
    plain = [path for path in edits.all if edits.found.spans[path].form == "value"]
    if not plain:
        return
    path = edits.chance.choice(plain)
    span = edits.found.spans[path]
    new = replace_value(edits.text, path, "quite new")
    assert new == edits.text[: span.start] + '"quite new"' + edits.text[span.end :]


@settings(max_examples=300, deadline=None)
@given(_SEEDS)
def test_what_is_taken_out_leaves_every_other_byte(seed: int) -> None:
    edits = _Edits(seed)
    path = edits.chance.choice(list(edits.all))
    if edits.dotted_within_braces(path):
        with pytest.raises(EditError, match="is part of a dotted key here"):
            remove_key(edits.text, path)
        return
    new = remove_key(edits.text, path)
    rest = iter(edits.text)
    assert all(letter in rest for letter in new), "the rest is what was there, in its order"
    other = outline(new)
    for section in other.sections[1:]:
        assert new[section.start : section.head_end] in edits.text
    kept = {key for key in edits.all if key[: len(path)] != path and not _moved(key, path)}
    emptied = {key for key in kept if key == path[: len(key)]}
    assert kept - emptied <= set(other.spans)


def _moved(key: KeyPath, path: KeyPath) -> bool:
    """Tell whether `key` lies in a later element of the list that `path` is taken out of."""
    here, last = len(path) - 1, path[-1]
    if len(key) <= here or key[:here] != path[:here] or not isinstance(last, int):
        return False
    index = key[here]
    return isinstance(index, int) and index > last


def _assert_one_insertion(old: str, new: str) -> None:
    same = 0
    while same < len(old) and old[same] == new[same]:
        same += 1
    rest = old[same:]
    assert new.endswith(rest), "what follows the insertion is what was there"
    assert new.startswith("\ufeff") == old.startswith("\ufeff")
    if "\r\n" in old and not old.replace("\r\n", "").count("\n"):
        assert not new.replace("\r\n", "").count("\n")


def _at(doc: Any, path: KeyPath) -> Any:
    for key in path:
        doc = doc[key]
    return doc


@pytest.mark.parametrize("job", sorted(Path("jobs_example/jobs").rglob("*.toml")), ids=lambda job: job.stem)
def test_edits_of_the_example_jobs_are_undone_exactly(job: Path) -> None:
    text = job.read_bytes().decode()
    for table in ("reading", "wait", "amended", "price.agreed", "waive"):
        new = append_entry(text, table, {"at": _AT, "why": "tried"})
        _assert_one_insertion(text, new)
        assert remove_entry(new, table, -1) == text
