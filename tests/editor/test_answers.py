"""What the server answers about a place, on the example book of the twentieth of November 2026."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from lsprotocol.types import CompletionItem, MarkupContent, Position, Range, TextDocumentEdit, TextEdit

from jobkit.editor.complete.completion import completion
from jobkit.editor.findings import findings_of
from jobkit.editor.fix.quick_fixes import fixes
from jobkit.editor.hover.answer import hover
from jobkit.editor.names.places import definitions
from jobkit.editor.names.references import references
from jobkit.editor.symbols import symbols
from jobkit.editor.verdicts import verdicts
from tests.books import EXAMPLE
from tests.editor.conftest import Show
from tests.editor.marked import MARK, edited, marked

PATH = "jobs/2026/K26-0047.toml"
JOB = (EXAMPLE / PATH).read_text("utf-8")
WHOLE = Range(Position(0, 0), Position(9999, 0))


def at(needle: str) -> str:
    """Put the mark into the first place where the job has `needle`, with its mark; spaces round "=" do not count."""
    before, after = (_pattern(part) for part in needle.split(MARK))
    found = re.search(f"({before})({after})", JOB)
    assert found, needle
    return JOB[: found.end(1)] + MARK + JOB[found.start(2) :]


def _pattern(written: str) -> str:
    return re.escape(written).replace(r"\ =\ ", r"\s*=\s*").replace(r"\ =", r"\s*=\s*")


HOVERS = {
    "a reading": ('value = "0.4‸ Ω"', ["out", "199.72 Ω outside", "lead resistance", "usual", "U = 0.13 Ω"]),
    "a point": ('point = "V1‸2"', ["middle pin of the supply connector", "nominal 12 V"]),
    "a part": ('part = "Q2‸14"', ["power stage of phase 3", "1 bench heating above liquidus; the bench", "14 on hand"]),
    "an item": ('item = "stage-50a‸-5x6"', ["power stage 50 A", "14 on hand", "4.20 EUR each"]),
    "a design": ('design = "tarnhow‸-t7-16"', ["two fans", "31 jobs"]),
    "a meter": ('meter = "dmm‸-1"', ["resistance", "Calibration holds until 2027-03-02"]),
    "a client": ('client = "c-0‸31"', ["0 other jobs"]),
    "a serial number": ('serial = "T7-0019‸-5521"', ["0 other jobs of this board"]),
    "the warranty": ('duration = "P‸6M"', ["is covered on 2026-11-20", "until 2027-04-26", "not legal advice"]),
    "a key": ("compl‸aint = ", ["What the client says"]),
}  # fmt: skip


@pytest.mark.parametrize(("place", "told"), HOVERS.values(), ids=HOVERS)
def test_hover_says_what_is_there(show: Show, place: str, told: list[str]) -> None:
    text, position = marked(at(place))
    book, file = show(PATH, text)
    said = hover(file, book, position)
    assert said
    assert isinstance(said.contents, MarkupContent)
    assert [one for one in told if one not in said.contents.value] == []


def test_of_a_value_that_cannot_be_read_hover_says_no_verdict(show: Show) -> None:
    text, position = marked(JOB.replace('"0.4 Ω"', '"0.4‸ kg"', 1))
    book, file = show(PATH, text)
    said = hover(file, book, position)
    assert said
    assert isinstance(said.contents, MarkupContent)
    assert "no limit" not in said.contents.value


def test_hover_says_where_a_channel_is(show: Show) -> None:
    text, position = marked(JOB + '\n[[seen]]\ncheck = "memory test"\nfailed = ["1‸L"]\n')
    book, file = show(PATH, text)
    said = hover(file, book, position)
    assert said
    assert isinstance(said.contents, MarkupContent)
    assert said.contents.value.startswith("**1L** is U1, left column, top, fed by VMEM")


def test_hover_says_what_a_reading_was_before(show: Show) -> None:
    text, position = marked(at('value = "0.371‸ Ω"'))
    book, file = show(PATH, text)
    said = hover(file, book, position)
    assert said
    assert isinstance(said.contents, MarkupContent)
    assert "Before: 0.50 Ω (arrival 2026-10-19" in said.contents.value


COMPLETIONS = {
    "points, without quotation marks": ("\n[[reading]]\npoint = ‸", '"VMEM"', "coil L7"),
    "points, within them": ('\n[[reading]]\npoint = "‸', 'VMEM"', "coil L7"),
    "points, in closed ones": ('\n[[reading]]\npoint = "V‸X"', "VMEM", "coil L7"),
    "parts in a list": ('\n[[reading]]\nremoved = ["U5", "‸', 'Q214"', "power stage"),
    "parts in a list of lines": ('\n[[reading]]\nremoved = [\n  "U5",\n  "‸', 'Q214"', "power stage"),
    "kinds": ('\n[[reading]]\nkind = "‸"', "resistance", ""),
    "balls": ('\n[[pad]]\npart = "U1"\nball = "‸"', "A4", ""),
    "units of a reading whose kind is not said yet": ('\n[[reading]]\nvalue = "23.4‸"', "23.4 V", "voltage"),
    "units": ('\n[[reading]]\nkind = "resistance"\nvalue = "23.4‸"', "23.4 kΩ", "resistance"),
    "meters": ('\n[[reading]]\nmeter = "‸"', "dmm-1", ""),
    "channels": ('\n[[seen]]\nfailed = ["‸"]', "1L", "U1"),
    "checks": ('\n[[seen]]\ncheck = "‸"', "memory test", "minutes"),
    "items": ('\n[[used]]\nitem = "‸"', "stage-50a-5x6", "50 A"),
    "donors": ('\n[[used]]\nfrom = "‸"', "K26-0016", "donor, tarnhow"),
    "trials": ('\n[[trial]]\nrun = "‸"', "load run", "proof policy"),
    "rules": ('\n[[waive]]\nrule = "‸"', "sent-unpaid", ""),
    "jobs": ('\n[comeback]\nof = "‸"', "K26-0035", ""),
    "attachments": ('\n[[trial]]\nlog = "‸"', "load.csv", ""),
    "days": ("\n[dates]\npromised = ‸", "2026-11-20", ""),
    "flags": ("\n[[trial]]\ncold_start = ‸", "true", ""),
    "headers": ("\n[‸", "[[reading]]", ""),
    "keys": ("\n[[reading]]\nsta‸", "stage = ", ""),
}  # fmt: skip


@pytest.mark.parametrize(("more", "wanted", "what"), COMPLETIONS.values(), ids=COMPLETIONS)
def test_completion_knows_the_book(show: Show, more: str, wanted: str, what: str) -> None:
    text, position = marked(JOB + more)
    book, file = show(PATH, text)
    offered = completion(file, book, position, snippets=False)
    assert offered
    found = [
        one
        for one in offered.items
        if isinstance(one.text_edit, TextEdit) and one.text_edit.new_text == wanted
    ]
    assert len(found) == 1, [one.label for one in offered.items]
    assert what in (found[0].detail or "")
    assert found[0].filter_text is None  # Neovim places what has one by its own idea of a word


@pytest.mark.parametrize("value", ['"VMEM"', '["U5"', '["U5", "U6"]', "1 #"])
def test_behind_a_whole_value_nothing_is_offered(show: Show, value: str) -> None:
    text, position = marked(f"{JOB}\n[[reading]]\nremoved = {value}‸")
    book, file = show(PATH, text)
    offered = completion(file, book, position, snippets=False)
    assert not offered


def test_clients_are_completed_from_other_jobs(show: Show) -> None:
    text, position = marked(at('client = "‸c-031"'))
    book, file = show(PATH, text)
    offered = completion(file, book, position, snippets=False)
    assert offered
    assert "c-031" in {one.label for one in offered.items}


def test_a_key_that_is_there_is_not_offered_again(show: Show) -> None:
    text, position = marked(JOB + '\n[[reading]]\npoint = "VMEM"\n‸')
    book, file = show(PATH, text)
    offered = completion(file, book, position, snippets=False)
    assert offered
    labels = [one.label for one in offered.items]
    assert "point" not in labels
    assert labels[:2] == ["kind", "value"]  # those that a reading must have come first


def test_the_next_reading_of_the_proof_is_offered_as_an_entry(show: Show) -> None:
    """A reading taken away is the one that the proof policy wants next; filled in, lint finds nothing."""
    text = (
        JOB[: JOB.index("[[reading]]\nat    = 2026-10-23")]
        if "[[reading]]\nat    = 2026-10-23" in JOB
        else None
    )
    cut = text or JOB[: JOB.index("[[trial]]")]
    cut = (
        "\n".join(line for line in cut.splitlines() if not line.startswith(("finished", "paid", "sent")))
        + "\n\n"
    )
    book, file = show(PATH, cut)
    end = file.text.position(len(cut))
    for snippets, empty in ((False, '""'), (True, '"$1"')):
        offered = completion(file, book, end, snippets=snippets)
        assert offered
        blocks = [one for one in offered.items if one.label.startswith("[[reading]]")]
        if not blocks:
            pytest.fail(f"none offered: {[one.label for one in offered.items]}")
        assert isinstance(blocks[0].text_edit, TextEdit)
        block = blocks[0].text_edit.new_text
        assert block.startswith("[[reading]]\n")
        assert "2026-11-20T09:30:00" in block
        assert empty in block


DEFINITIONS = {
    "a point": ('point = "V1‸2"', "boards/tarnhow-t7-16.toml", "middle pin of the supply connector"),
    "a part": ('part = "Q2‸14"', "boards/tarnhow-t7-16.toml", "Q214"),
    "an item": ('item = "stage-50a‸-5x6"', "stock.toml", "stage-50a-5x6"),
    "a meter": ('meter = "dmm‸-1"', "meters.toml", "dmm-1"),
    "a design": ('design = "tarnhow‸-t7-16"', "boards/tarnhow-t7-16.toml", ""),
    "a log": ('log = "load‸.csv"', "jobs/2026/K26-0047/load.csv", ""),
}  # fmt: skip


@pytest.mark.parametrize(("place", "path", "line"), DEFINITIONS.values(), ids=DEFINITIONS)
def test_go_to_leads_to_the_definition(show: Show, example: Path, place: str, path: str, line: str) -> None:
    text, position = marked(at(place))
    book, file = show(PATH, text)
    (found,) = definitions(file, book, position)
    assert found.uri == (example / path).as_uri()
    if line:
        around = (example / path).read_text("utf-8").splitlines()
        assert line in "\n".join(around[found.range.start.line : found.range.start.line + 3])


def test_go_to_an_earlier_job_and_to_the_page_of_a_rule(show: Show, example: Path) -> None:
    text, position = marked(JOB + '\n[comeback]\nof = "K26-00‸35"\n')
    book, file = show(PATH, text)
    (found,) = definitions(file, book, position)
    assert found.uri == (example / "jobs/2026/K26-0035.toml").as_uri()
    text, position = marked(JOB + '\n[[waive]]\nrule = "sent‸-unpaid"\n')
    book, file = show(PATH, text)
    (page,) = definitions(file, book, position)
    assert page.uri.endswith("/rule-sent-unpaid.md")


def test_references_name_all_jobs_that_used_an_item_and_only_those(show: Show, example: Path) -> None:
    text, position = marked(at('item = "stage-50a‸-5x6"'))
    book, file = show(PATH, text)
    found = {one.uri.removeprefix(f"{example.as_uri()}/") for one in references(file, book, position).places}
    wanted = {
        path.relative_to(example).as_posix()
        for path in example.rglob("*.toml")
        if '"stage-50a-5x6"' in path.read_text("utf-8") or "[item.stage-50a-5x6]" in path.read_text("utf-8")
    }
    assert found == {path for path in wanted if path.startswith(("jobs/", "boards/", "stock"))}


def test_a_point_of_another_design_is_another_point(show: Show) -> None:
    text, position = marked(at('point = "VM‸EM"'))
    book, file = show(PATH, text)
    places = references(file, book, position).places
    jobs = {one.uri for one in places if "/jobs/" in one.uri}
    assert jobs
    for uri in jobs:
        assert "design" in Path(uri.removeprefix("file://")).read_text("utf-8")
        assert "tarnhow-t7-16" in Path(uri.removeprefix("file://")).read_text("utf-8")


def test_the_outline_names_each_entry(show: Show) -> None:
    _, file = show(PATH, JOB)
    names = [(one.name, one.detail) for one in symbols(file)]
    assert ("board", "") in names
    assert ("reading V12", "resistance, 0.4 Ω, arrival") in names
    assert ("used Q214", "stage-50a-5x6") in names


def test_verdicts_are_beside_their_values(show: Show) -> None:
    book, file = show(PATH, JOB)
    hints = verdicts(file, book, WHOLE)
    lines = JOB.splitlines()
    told = {(lines[one.position.line], one.label[0].value) for one in hints if not isinstance(one.label, str)}
    assert ('value = "0.4 Ω"', "out −200 Ω") in told
    assert all(one.position.character == len(lines[one.position.line]) for one in hints)
    assert verdicts(file, book, Range(Position(0, 0), Position(3, 0))) == []


FIXES = {
    "a unit": ('value = "0.4 Ω"', 'value = "0.4 ohms"', 'Write "0.4 Ω"'),
    "a decimal comma": ('value = "0.4 Ω"', 'value = "0,4 Ω"', 'Write "0.4 Ω"'),
    "the nearest name": ('point = "V12"', 'point = "V12V"', 'Write "V12"'),
    "the nearest part": ('part = "Q214"', 'part = "Q2I4"', 'Write "Q214"'),
    "a key": ("complaint ", "complaimt ", "Write complaint"),
}  # fmt: skip


@pytest.mark.parametrize(("right", "wrong", "title"), FIXES.values(), ids=FIXES)
def test_a_fix_writes_what_the_finding_says(show: Show, right: str, wrong: str, title: str) -> None:
    text = JOB.replace(right, wrong, 1)
    book, file = show(PATH, text)
    (fix,) = [one for one in fixes(file, book, findings_of(file, book), WHOLE) if one.title == title]
    assert fix.edit
    assert fix.edit.document_changes
    assert fix.is_preferred
    (change,) = fix.edit.document_changes
    assert isinstance(change, TextDocumentEdit)
    assert edited(text, *[one for one in change.edits if isinstance(one, TextEdit)]) == JOB


def applied(text: str, fix: object) -> str:
    (change,) = fix.edit.document_changes  # type: ignore[attr-defined]
    return edited(text, *change.edits)


def test_a_finding_is_waived_with_the_reason_left_open(show: Show) -> None:
    """The empty reason is itself a finding: a waiver without one is never committed."""
    text = JOB.replace('part = "Q214"', 'part = "Q9999"', 1)
    book, file = show(PATH, text)
    (fix, *_) = [
        one
        for one in fixes(file, book, findings_of(file, book), WHOLE)
        if one.title.startswith("Waive part-unknown")
    ]
    waived = applied(text, fix)
    assert "[[waive]]\nat" in waived
    assert "why" in waived
    book, file = show(PATH, waived)
    assert [one.finding.place[-1] for one in findings_of(file, book) if one.finding.rule == "schema"] == [
        "why"
    ]
    book, file = show(PATH, waived.replace('why   = ""', 'why   = "as marked on the board"'))
    assert [
        one.finding
        for one in findings_of(file, book)
        if one.finding.about == "Q9999" and "unknown" in one.finding.rule
    ] == []


def test_a_sealed_job_gets_an_amendment(show: Show) -> None:
    text = JOB.replace('value = "23.52 Ω"', 'value = "23.25 Ω"', 1)
    book, file = show(PATH, text)
    (fix,) = [one for one in fixes(file, book, findings_of(file, book), WHOLE) if "amended" in one.title]
    amended = applied(text, fix)
    assert amended.rstrip().endswith('why = ""') or "[[amended]]\nat  = 2026-11-20T09:30:00" in amended


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40)
@given(
    st.integers(0, len(JOB)),
    st.integers(0, 40),
    st.text(st.sampled_from('"=[]{}\n#.aΩ😀1'), max_size=6),
    st.integers(0, 60),
)
def test_no_text_and_no_place_ends_an_answer(show: Show, start: int, cut: int, new: str, back: int) -> None:
    text = JOB[:start] + new + JOB[start + cut :]
    book, file = show(PATH, text)
    position = file.text.position(max(0, min(start + len(new) - back, len(text))))
    findings_of(file, book)
    hover(file, book, position)
    offered = completion(file, book, position, snippets=True)
    assert offered is None or all(isinstance(one, CompletionItem) for one in offered.items)
    definitions(file, book, position)
    symbols(file)
    verdicts(file, book, WHOLE)
