"""Quick fixes: each name that a finding says to write, each thing that is missing, each way to accept a finding."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest
from lsprotocol.types import CodeAction, Position, Range, TextDocumentEdit, TextEdit

from jobkit.editor.findings import findings_of
from jobkit.editor.fix.quick_fixes import fixes
from jobkit.editor.shown.books import Books
from jobkit.editor.shown.open_book import BookInEditor
from jobkit.editor.shown.open_file import OpenFile
from jobkit.jobs.date_order import latest_day
from jobkit.jobs.job import Dates
from tests.books import BOARD, JOB, JOB_PATH, make_book
from tests.editor.conftest import outside
from tests.editor.marked import edited
from tests.lint.broken_books import Broken, broken_books
from tests.lint.laid import lay
from tests.long_run import share

WHOLE = Range(Position(0, 0), Position(9999, 0))
METERS = 'format = 1\n[[meter]]\nname = "dmm-1"\n[[meter]]\nname = "dmm-2"\n'
TAIL = '\n[[reading]]\npoint = "VMEM"\nkind = "resistance"\nvalue = "0.5 Ω"\n'


def shown(root: Path, text: str, path: str = JOB_PATH) -> tuple[BookInEditor, OpenFile]:
    """Show a text as a file of a book."""
    books = Books(outside())
    uri = (root / path).as_uri()
    assert books.show(uri, text, 1)
    place = books.at(uri)
    assert place
    return place


def offered(root: Path, text: str, path: str = JOB_PATH) -> dict[str, CodeAction]:
    """Return the fixes of a text by their titles."""
    book, file = shown(root, text, path)
    return {one.title: one for one in fixes(file, book, findings_of(file, book), WHOLE)}


def applied(text: str, fix: CodeAction) -> str:
    """Return a text after the edit of a fix."""
    assert fix.edit
    assert fix.edit.document_changes
    (change,) = fix.edit.document_changes
    assert isinstance(change, TextDocumentEdit)
    return edited(text, *[one for one in change.edits if isinstance(one, TextEdit)])


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return make_book(tmp_path / "book", {"meters.toml": METERS})


WRITTEN = {
    "a unit": ('"0.4 Ω"', '"0.4 ohms"', 'Write "0.4 Ω"'),
    "a choice": ('kind = "resistance"', 'kind = "resistence"', 'Write "resistance"'),
    "a choice without quotation marks": ('kind = "resistance"', "kind = resistance", 'Write "resistance"'),
    "a text that is not closed": ('title = "No picture"', 'title = "No picture', 'Close the text with "'),
    "a table": ("[board]", "[bord]", "Write [board]"),
    "a list of tables": ("[[work]]", "[[wokr]]", "Write [[work]]"),
    "a list of tables beside the right one": ("[[reading]]", "[[readng]]", "Write [[reading]]"),
    "a key": ("complaint =", "complaimt =", "Write complaint"),
    "one bracket too few": ("[[work]]", "[work]", "Write [[work]]"),
    "one bracket too many": ("[intake]", "[[intake]]", "Write [intake]"),
    "the id of the file": ('id = "K26-0001"', 'id = "K26-0011"', 'Write id = "K26-0001"'),
    "the form of the id": ('id = "K26-0001"', 'id = "k26-1"', 'Write id = "K26-0001"'),
    "the ends of a limit": ('"10 Ω .. 60 Ω"', '"60 Ω .. 10 Ω"', 'Write "10 Ω .. 60 Ω"'),
    "the kind beside": ('value = "23.4 Ω"', 'value = "23.4 V"', 'Write kind = "voltage"'),
}  # fmt: skip


@pytest.mark.parametrize(("right", "wrong", "title"), WRITTEN.values(), ids=WRITTEN)
def test_what_a_finding_says_to_write_is_written(book: Path, right: str, wrong: str, title: str) -> None:
    text = JOB.replace(right, wrong, 1)
    assert text != JOB
    new = applied(text, offered(book, text)[title])
    if title != 'Write kind = "voltage"':
        assert new == JOB
    else:
        assert 'kind = "voltage"\nvalue = "23.4 V"' in new


def test_a_number_that_is_a_name_gets_quotation_marks(book: Path) -> None:
    text = f'{JOB}\n[[pad]]\npart = "U1"\nball = 4\ndamage = "lifted"\n'
    assert applied(text, offered(book, text)['Write "4"']) == text.replace("ball = 4", 'ball = "4"')
    assert 'Write "23"' not in offered(book, JOB.replace('limit = "10 Ω .. 60 Ω"', "limit = 23"))


def test_a_decimal_comma_is_written_as_a_point(book: Path) -> None:
    text = JOB.replace("minutes = 75", "minutes = 7,5", 1)
    assert applied(text, offered(book, text)["Write 7.5"]) == JOB.replace("minutes = 75", "minutes = 7.5", 1)


def test_names_that_are_equally_near_are_all_offered_and_none_is_preferred(book: Path) -> None:
    text = f'{JOB}{TAIL}meter = "dmm-3"\n'
    found = offered(book, text)
    assert [title for title in found if title.startswith("Write")] == ['Write "dmm-1"', 'Write "dmm-2"']
    assert not any(one.is_preferred for one in found.values())
    assert 'meter = "dmm-2"' in applied(text, found['Write "dmm-2"'])


def test_a_name_of_affects_is_written_as_a_key(book: Path) -> None:
    path = "boards/alder-a1.toml"
    text = f'{BOARD}[[cause]]\nname = "coil"\naffects = {{ VMEN = 0.5 }}\n'
    assert applied(text, offered(book, text, path)["Write VMEM"]) == text.replace("VMEN", "VMEM")


REMOVED = {
    "a waiver without effect": (
        '\n[[waive]]\nrule = "sent-unpaid"\nwhy = "by invoice"\n', "", "Remove this waiver",
    ),
    "a waiver of what cannot be waived": (
        '\n[[waive]]\nrule = "schema"\nwhy = "later"\n', "", "Remove this waiver",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("there", "left", "title"), REMOVED.values(), ids=REMOVED)
def test_what_a_finding_says_to_remove_is_removed(book: Path, there: str, left: str, title: str) -> None:
    text = JOB + there
    assert applied(text, offered(book, text)[title]) == JOB + left


NEW = """\
#:schema ../../schema/job.schema.json
format = 1
id = "K26-0048"
client = ""
title = ""

[board]
kind = ""

[intake]
complaint = ""

[dates]
received = 2026-11-20
"""


def test_a_new_file_gets_all_that_a_job_needs_with_the_id_of_its_name(book: Path) -> None:
    found = offered(book, "", "jobs/2026/K26-0048.toml")
    title = "Add all that is missing: format, id, client, title, board, intake, dates"
    assert next(iter(found)) == title
    assert applied("\n", offered(book, "\n", "jobs/2026/K26-0048.toml")[title]) == applied("", found[title])
    new = applied("", found[title])
    assert re.sub(" +=", " =", new) == NEW
    left = findings_of(*reversed(shown(book, new, "jobs/2026/K26-0048.toml")))  # type: ignore[arg-type]
    assert {one.finding.place for one in left} == {
        ("client",), ("title",), ("board", "kind"), ("intake", "complaint"),
    }  # fmt: skip


ADDED = {
    "a table": ("[dates]\n", "Add [dates] with received = 2026-11-20", "[dates]\nreceived = 2026-11-20"),
    "the id": ('id = "K26-0001"\n', 'Add id = "K26-0001"', 'id = "K26-0001"'),
    "a text": ('title = "No picture"\n', "Add title and fill it in", 'title = ""'),
    "the day of the end": ("finished = 2026-10-09\n", "Add finished = 2026-10-12 (as sent)", "finished = 2026-10-12"),
    "the day of the start": (
        "started = 2026-10-08\n", "Add started = 2026-10-09 (as finished)", "started = 2026-10-09",
    ),
    "a choice": ('outcome = "repaired"\n', 'Add outcome = "no-fault-found"', 'outcome = "no-fault-found"'),
}  # fmt: skip


@pytest.mark.parametrize(("there", "title", "line"), ADDED.values(), ids=ADDED)
def test_what_is_missing_is_added(book: Path, there: str, title: str, line: str) -> None:
    text = JOB.replace(there, "", 1)
    if there == "[dates]\n":
        text = re.sub(r"\[dates\]\n(?:\w+ = .*\n)+", "", JOB)
    assert text != JOB
    assert line in applied(text, offered(book, text)[title])


def test_the_day_of_an_agreement_is_that_of_its_entry(book: Path) -> None:
    text = re.sub("(?:agreed|started|finished|paid|sent) = .*\n|outcome = .*\n", "", JOB)
    text += '\n[price]\nquoted = "90.00 EUR"\n[[price.agreed]]\non = 2026-10-07\namount = "90.00 EUR"\n'
    assert "Add agreed = 2026-10-07 (as price.agreed)" in offered(book, text)


DAYS = [
    ("finished", Dates(sent=date(2026, 10, 12)), date(2026, 10, 12)),
    ("finished", Dates(collected=date(2026, 10, 15)), date(2026, 10, 15)),
    ("finished", Dates(sent=date(2027, 1, 1)), date(2026, 11, 20)),  # a slip in sent: not beyond today
    ("received", Dates(started=date(2026, 10, 8), sent=date(2026, 10, 12)), date(2026, 10, 8)),
    ("started", Dates(finished=date(2026, 10, 9), received=date(2026, 10, 10)), None),
    ("paid", Dates(sent=date(2026, 10, 12)), date(2026, 11, 20)),
]


@pytest.mark.parametrize(("key", "dates", "wanted"), DAYS)
def test_a_missing_day_is_the_latest_that_it_can_have_been(
    key: str, dates: Dates, wanted: date | None
) -> None:
    latest = latest_day(key, dates, date(2026, 11, 20))
    assert (latest and latest.day) == wanted


def test_a_waiver_and_an_amendment_are_signed(book: Path) -> None:
    text = JOB.replace('point = "VMEM"', 'point = "Z9"', 1)
    waived = applied(text, offered(book, text)["Waive point-unknown about Z9 and fill in why"])
    entry = waived[waived.index("[[waive]]") :]
    assert re.sub(" +=", " =", entry) == (
        '[[waive]]\nat = 2026-11-20T09:30:00\nby = "ida"\nrule = "point-unknown"\nabout = "Z9"\nwhy = ""\n'
    )


def test_what_an_entry_lacks_is_offered_on_each_of_its_lines(book: Path) -> None:
    text = JOB.replace('kind = "resistance"\n', "", 1)
    opened, file = shown(book, text)
    line = text.splitlines().index('value = "0.4 Ω"')
    found = findings_of(file, opened)
    for at, wanted in ((line, True), (0, False)):
        here = Range(Position(at, 3), Position(at, 3))
        titles = {one.title for one in fixes(file, opened, found, here)}
        assert ('Add kind = "resistance"' in titles) == wanted


ELSEWHERE = {
    "a point": ('point = "VMEM"', 'point = "V5"', "boards/alder-a1.toml", 'name = "V5"'),
    "a part": ('\n[[work]]\ndid = "fit"\npart = "Q77"\n', None, "boards/alder-a1.toml", 'parts = ["Q77"]'),
    "a meter": (f'{TAIL}meter = "hand-held"\n', None, "meters.toml", 'name = "hand-held"'),
}


@pytest.mark.parametrize(("old", "new", "path", "line"), ELSEWHERE.values(), ids=ELSEWHERE)
def test_an_unknown_name_is_added_to_the_file_that_would_know_it(
    book: Path, old: str, new: str | None, path: str, line: str
) -> None:
    text = JOB + old if new is None else JOB.replace(old, new, 1)
    (fix,) = [one for title, one in offered(book, text).items() if path in title]
    assert fix.edit
    assert fix.edit.document_changes
    (change,) = fix.edit.document_changes
    assert isinstance(change, TextDocumentEdit)
    assert change.text_document.uri == (book / path).as_uri()
    assert line in applied((book / path).read_text("utf-8"), fix)


HALF = {
    "at the end of an entry": (TAIL, f"{TAIL}poi"),
    "a header": (TAIL, f"{TAIL}\n[[rea"),
    "a key before the entry": ('outcome = "repaired"\n', 'outcome = "repaired"\nx =\n'),
    "letters beyond the first plane": ('title = "No picture"', 'title = "😀 no'),
}


@pytest.mark.parametrize(("whole", "half"), HALF.values(), ids=HALF)
def test_beside_a_half_typed_line_the_rest_is_fixed(book: Path, whole: str, half: str) -> None:
    text = (JOB + TAIL).replace('"0.4 Ω"', '"0.4 ohms"', 1).replace(whole, half, 1)
    assert half in text
    new = applied(text, offered(book, text)['Write "0.4 Ω"'])
    assert new == text.replace('"0.4 ohms"', '"0.4 Ω"')


def test_an_entry_is_added_behind_a_half_typed_line_and_never_before_it(book: Path) -> None:
    text = JOB.replace('point = "VMEM"', 'point = "Z9"', 1) + '\n[[waive]]\nrule = "sent-unpaid"\nwhy'
    fix = offered(book, text)["Waive point-unknown about Z9 and fill in why"]
    new = applied(text, fix)
    assert new.startswith(text)
    assert new[len(text) :].lstrip().startswith("[[waive]]")


BROKEN = tuple(broken_books())


@pytest.mark.slow
@pytest.mark.parametrize("broken", share(BROKEN, 3), ids=lambda broken: broken.name)
def test_every_name_that_lint_says_to_write_is_offered_and_ends_its_finding(
    broken: Broken, tmp_path: Path
) -> None:
    """Over all broken books: `write "…"` is a fix, and after a fix of what to write, that finding is gone."""
    root = lay(tmp_path / "book", broken.files)
    for path in sorted({one.file for one in broken.expected}):
        text = (root / path).read_text("utf-8") if (root / path).exists() else ""
        if (
            not text
            or path.startswith(("private/letter", "schema/"))
            or "letter.txt" in path
            or "orders" in path
        ):
            continue
        book, file = shown(root, text, path)
        for one in findings_of(file, book):
            found = fixes(file, book, [one], WHOLE)
            written = [fix for fix in found if fix.title.startswith("Write")]
            assert written or not re.match('write "', one.finding.mend), one.finding
            for fix in written:
                again = shown(root, applied(text, fix), path)
                left = [other.finding for other in findings_of(again[1], again[0])]
                place, rule = one.finding.place, one.finding.rule
                assert not any(
                    (other.place, other.rule, other.message) == (place, rule, one.finding.message)
                    for other in left
                ), fix.title
