"""The usual spelling, and every other byte as it was."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobkit.book.read.load import load_job
from jobkit.book.shelf.opening import Tree, kind_of
from jobkit.book.write.tidy import tidied
from jobkit.units.kinds import KINDS, spellings
from tests.at_the_bench import JOB, JOB_PATH
from tests.books import EXAMPLE

READING = '[[reading]]   # left\npoint = "VMEM"\nkind = "{kind}"\n\tvalue  =  {value}  # as shown\nlimit = "{limit}"\n'


CASES = {
    "value": ("job", '[[reading]]\nkind = "resistance"\nvalue = "23.40 ohm"\n', '"23.40 Ω"'),
    "code": ("job", '[[reading]]\nkind = "resistance"\nvalue = "4k7"\n', '"4K7"'),
    "single quotes stay": ("job", "[[reading]]\nkind = 'temperature'\nvalue = '-5 degC'\n", "'−5 °C'"),
    "limit": ("job", '[[reading]]\nkind = "voltage"\nlimit = "12 V +/- 5%"\n', '"12 V ± 5 %"'),
    "tidy already": ("job", '[[inject]]\nvolts = "1 V"\namps = "500 mA"\n', ""),
    "limit in braces": ("job", '[[trial]]\nlimit = { core = "≤88 degC" }\n', '"<= 88 °C"'),
    "pad": ("job", '[[pad]]\nreads = "0.3 ohm"\n', '"0.3 Ω"'),
    "board": ("board", '[[point]]\n[[point.limit]]\nkind="resistance"\nlimit="10..60 ohm"\n', '"10 .. 60 Ω"'),
    "meter": ("meters", '[[meter]]\n[[meter.range]]\nkind="resistance"\nstep="0.01 ohm"\n', '"0.01 Ω"'),
    "policy": ("bench", '[proof.a.load]\nlimit = { core = ">=1 uV" }\n', '">= 1 µV"'),
    "policy of an outcome": ("bench", '[proof.a.declined.load]\nlimit = { core = ">=1 uV" }\n', '">= 1 µV"'),
    "stock": ("stock", '[item.x]\nclassified = "245 degC"\n', '"245 °C"'),
    "no limit": ("bench", '[proof.a.load]\nlimit = { core = "1 uV" }\n', ""),
    "no quantity, however it looks": ("job", 'title = "23.4 ohm"\n[own]\nvalue = "23.4 ohm"\n', ""),
    "kind unknown, unit tells": ("job", '[[reading]]\nvalue = "23.4 ohm"\nkind = 3\n', '"23.4 Ω"'),
    "wrong unit is left to lint": ("job", '[[reading]]\nkind = "voltage"\nvalue = "23.4 ohm"\n', ""),
    "no file of the book": ("other", 'value = "23.4 ohm"\n', ""),
}


@pytest.mark.parametrize(("kind", "before", "after"), CASES.values(), ids=CASES)
def test_units_and_limits_are_spelled_the_usual_way(kind: str, before: str, after: str) -> None:
    tidy = tidied(kind, before)
    assert len(tidy.changes) == bool(after)
    if after:
        (change,) = tidy.changes
        assert after.strip("\"'") == change.now
        assert tidy.text.count(after) == 1
        assert tidy.text.replace(after, "?") == _cut(before, change.was)
    else:
        assert tidy.text == before


def test_many_are_spelled_at_once_each_in_its_place() -> None:
    readings = "".join(
        READING.format(kind="resistance", value=f"'{number} ohm'", limit=f">={number} ohm")
        for number in range(500)
    )
    text = JOB + readings + '[[inject]]\nvolts = "1.0 V"\nrail = "23 ohm"\n' + readings
    tidy = tidied("job", text)
    assert len(tidy.changes) == 2000
    spelled = text.replace(" ohm'", " Ω'").replace('">=', '">= ').replace(' ohm"', ' Ω"')
    assert tidy.text == spelled.replace('rail = "23 Ω"', 'rail = "23 ohm"')


def _cut(text: str, was: str) -> str:
    for quote in "\"'":
        text = text.replace(f"{quote}{was}{quote}", "?")
    return text


@settings(deadline=None)
@given(st.sampled_from(sorted(KINDS)), st.data())
def test_what_is_tidied_means_the_same_and_is_tidy_then(kind: str, data: st.DataObject) -> None:
    unit = data.draw(st.sampled_from(spellings(kind)))
    number = data.draw(st.sampled_from(["1", "0.50", "-3.2", "+7"]))
    text = JOB + READING.format(kind=kind, value=f'"{number} {unit}"', limit=f">={number} {unit}")
    new = tidied("job", text).text
    before, after = (load_job(JOB_PATH, one.encode()).job for one in (text, new))
    assert before
    assert after
    (was,), (now,) = before.readings, after.readings
    assert was.value
    assert now.value
    assert was.limit
    assert now.limit
    assert (was.value.value, was.limit.low and was.limit.low.value) == (
        now.value.value,
        now.limit.low and now.limit.low.value,
    )
    assert tidied("job", new).changes == ()
    assert [line for line in new.split("\n") if "value" not in line and "limit" not in line] == [
        line for line in text.split("\n") if "value" not in line and "limit" not in line
    ]


def test_the_example_book_is_read_through_without_a_fault() -> None:
    shelf = Tree(EXAMPLE)
    for path in shelf.paths():
        if path.endswith(".toml"):
            text = shelf.read(path).decode()
            tidy = tidied(kind_of(path), text)
            assert bool(tidy.changes) is (tidy.text != text)
