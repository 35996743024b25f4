"""What git shows of a job file: a diary that hides nothing."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jobkit import textconv
from jobkit.textconv import converted
from tests.books import EXAMPLE, JOB, JOB_PATH, make_book

TEXT = """\
# the board of a neighbour
format = 1
id = "K26-0001"
client = "c-001"
title = "No picture"

[board]
kind = "graphics card"
design = "alder-a1"

[intake]
complaint = "No picture since Monday"   # by telephone

[dates]
received = 2026-10-05

# cold from the cellar
[[reading]] # first
at = 2026-10-08T10:00:00
by = "ida"
stage = "arrival"
point = "VMEM"
# between the two coils
kind = "resistance"
value = "0.4 Ω" # still falling
state = "cold"


[[trial]]
at = 2026-10-09T11:00:00
run = "load run"
result = "pass"
[trial.limit]
"hot spot" = "<= 95 °C"

[[work]]
at = 2026-10-08T11:00:00
did = "clean"

[own]
drawer = 7
[[own.note]]
text = "not jobkit's business"
"""

SHOWN = """\
# the board of a neighbour
format = 1
id = "K26-0001"
client = "c-001"
title = "No picture"

[board]
kind = "graphics card"
design = "alder-a1"

[intake]
complaint = "No picture since Monday"   # by telephone

[dates]
received = 2026-10-05

# cold from the cellar
2026-10-08 10:00 ida: VMEM 0.4 Ω out, arrival, cold  # first  # between the two coils  # still falling
2026-10-09 11:00: load run pass, limit hot spot <= 95 °C
2026-10-08 11:00: clean

[own]
drawer = 7
[[own.note]]
text = "not jobkit's business"
"""


def test_each_entry_is_a_line_and_the_rest_stays(tmp_path: Path) -> None:
    assert converted(TEXT.encode(), [make_book(tmp_path)]).decode() == SHOWN


def test_without_a_book_a_reading_has_the_limit_it_brings() -> None:
    shown = converted(JOB.encode()).decode()
    assert "VMEM 0.4 Ω, arrival" in shown
    assert "VMEM 23.4 Ω in, proof, cold, limit 10 Ω .. 60 Ω" in shown


def test_the_book_that_knows_the_design_is_asked(tmp_path: Path) -> None:
    other = make_book(tmp_path / "other", {"boards/alder-a1.toml": None})
    book = make_book(tmp_path / "book")
    for books in ([other, book], [book, other], [tmp_path / "nowhere", book]):
        assert "VMEM 0.4 Ω out" in converted(JOB.encode(), books).decode()
    assert "VMEM 0.4 Ω, arrival" in converted(JOB.encode(), [other]).decode()


AS_IT_IS = {
    "no TOML": b"<<<<<<< ours\n",
    "no UTF-8": b"\xff\xfe",
    "empty": b"",
    "binary": b"\0\1\2",
    "of a later format": JOB.replace("format = 1", "format = 99").encode(),
}


@pytest.mark.parametrize("content", AS_IT_IS.values(), ids=AS_IT_IS)
def test_what_cannot_be_read_stays_as_it_is(content: bytes) -> None:
    assert converted(content) == content or not content


def test_an_entry_of_which_something_cannot_be_read_stays_as_it_is(tmp_path: Path) -> None:
    text = TEXT.replace('"0.4 Ω"', '"0.4 kg"').replace('did = "clean"', 'did = "clean"\nmintues = 5')
    shown = converted(text.encode(), [make_book(tmp_path)]).decode()
    assert 'value = "0.4 kg" # still falling' in shown
    assert "mintues = 5" in shown
    assert "2026-10-09 11:00: load run pass" in shown


@pytest.mark.parametrize("path", sorted(EXAMPLE.glob("jobs/*/*.toml")), ids=lambda path: path.stem)
def test_nothing_of_the_example_is_hidden(path: Path) -> None:
    """Every text, number and remark of the file is in what is shown; the unit alone tells some kinds of reading."""
    text = path.read_text("utf-8")
    shown = converted(text.encode(), [EXAMPLE]).decode()
    told_by_unit = (
        r'kind += "(resistance|voltage|current|capacitance|inductance|frequency|temperature|power)"'
    )
    rest = re.sub(told_by_unit, "", text)
    words = re.findall(r'"([^"\n]+)"|(#[^\n]*)|= ([0-9.]+)$', rest, re.MULTILINE)
    for word in filter(None, ("".join(found).strip() for found in words)):
        assert word in shown or word.replace("-", " ") in shown, word
    readings = text.count("\n[[reading]]")
    taken = re.findall(r"^[0-9-]{10} [0-9:]{5}.*, (?:arrival|work|proof)\b", shown, re.MULTILINE)
    assert len(taken) == readings


@settings(max_examples=200, suppress_health_check=[HealthCheck.too_slow], deadline=None)
@given(st.data())
def test_no_line_taken_out_or_doubled_makes_it_fail(data: st.DataObject) -> None:
    lines = TEXT.splitlines(keepends=True)
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(lines) - 1))
        lines[at : at + 1] = data.draw(st.sampled_from([[], [lines[at]] * 2, [lines[at].rstrip("\n")]]))
    content = "".join(lines).encode()
    assert isinstance(converted(content, [EXAMPLE]), bytes)


def test_windows_line_ends_and_byte_order_mark(tmp_path: Path) -> None:
    book = make_book(tmp_path)
    text = "\ufeff" + TEXT.replace("\n", "\r\n")
    shown = converted(text.encode(), [book]).decode()
    assert "2026-10-08 10:00 ida: VMEM 0.4 Ω out, arrival, cold  # first  # between" in shown
    assert shown.startswith("\ufeff# the board of a neighbour\r\n")


def test_a_fault_of_jobkit_shows_the_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    book = make_book(tmp_path)
    monkeypatch.setattr(textconv, "converted", lambda *_: 1 / 0)
    assert textconv.main([str(book / JOB_PATH)]) == 0
    sys.stdout.flush()
    assert capfdbinary.readouterr().out == JOB.encode()


def test_it_starts_without_the_slow_libraries(tmp_path: Path) -> None:
    code = "import sys, jobkit.textconv as it; it.main([sys.argv[1]]); print(*sys.modules)"
    ended = subprocess.run(
        [sys.executable, "-c", code, JOB_PATH], cwd=make_book(tmp_path), capture_output=True, check=True
    )
    slow = {"typer", "click", "jsonschema", "tomlkit", "tabulate", "inspect", "dataclasses"}
    assert not slow & set(ended.stdout.decode().split())
