"""Rename: every place that names a thing follows, a sent job says why it was changed, and nothing is done by halves."""

from __future__ import annotations

import re
import shutil
from collections.abc import Mapping
from pathlib import Path

import pytest
from lsprotocol.types import RenameFile, TextDocumentEdit, TextEdit, WorkspaceEdit

from jobkit.book.schema.entry_keys import every_key
from jobkit.editor.names.named import _KEYS, _ROLES, _WORDS, names_in
from jobkit.editor.names.rename import Rename, RenameError, rename, renameable
from jobkit.editor.shown.books import Books
from jobkit.editor.shown.open_book import BookInEditor
from jobkit.editor.shown.open_file import OpenFile
from tests.book.repo import GitRepo, forget_git_settings
from tests.books import EXAMPLE, make_book
from tests.editor.conftest import outside
from tests.editor.marked import edited, marked
from tests.lint.laid import found_in

FREE = {
    "job": """id title board.place board.kept_back intake.complaint intake.setup intake.came_with intake.from parcel.in
        parcel.out wait.what reading.group seen.what pad.ball work.what work.alloy work.removal_alloy work.paste
        trial.limit trial.supply trial.host trial.driver firmware.came firmware.left cause.fault price.proposal
        price.tax_note price.line.what price.credit.why price.credit.number price.discount.why invoice.number
        warranty.scope warranty.void note.text message.with message.text amended.why waive.why""",
    "board": "what point.where point.group package.what package.place package.array.rows memory.place check.how",
    "bench": r"""bench\.\w+ tax.name tax.note check.how warranty.remind warranty.void_if proof proof.*load(\.\w+)?
        proof.*repeats proof.*last heat.accuracy heat.package.below heat.alloy heat.alloy.*peak pads.limit
        papers.intake papers.quote papers.language logs.*""",
    "meters": "meter.what meter.serial",
    "stock": "item.*what item.*place item.*order_from item.*order_as",
    "clients": "client client.*",
}
"""Keys whose texts are words or names of another sort: they name nothing that has a place of its own in the book."""
OF_EACH = re.compile(r".*\b(by|note)")


@pytest.mark.parametrize("kind", FREE)
def test_every_key_of_the_schemas_is_known_to_be_a_name_or_to_be_none(kind: str) -> None:
    """A new key that names a point, a part … has to be told to `named`, or renames would leave it."""
    known = {*_ROLES[kind], *_WORDS.get(kind, ()), *_KEYS.get(kind, {})}
    patterns = [re.compile(one.replace("*", ".*")) for one in (*known, *FREE[kind].split())]
    left = [
        ".".join(path)
        for path, key in every_key(kind)
        if key.form in {"text", "texts", "pairs", "photos", "lists", "job"} and not key.choices
    ]
    told = (*patterns, OF_EACH)
    assert [
        one
        for one in left
        if not any(pattern.fullmatch(one) or pattern.fullmatch(f"{one}.x") for pattern in told)
    ] == []


def renamed(root: Path, path: str, place: str, new: str, *, moves_files: bool = True) -> Rename:
    """Rename what is at the mark within `place` of a file of a book."""
    content = (root / path).read_text("utf-8")
    bare = place.replace("‸", "")
    assert bare in content, bare
    text, position = marked(content.replace(bare, place, 1))
    book, file = shown(root, path, text)
    assert renameable(file, book, position)
    return rename(file, book, position, new, moves_files=moves_files)


def shown(root: Path, path: str, text: str) -> tuple[BookInEditor, OpenFile]:
    books = Books(outside())
    assert books.show((root / path).as_uri(), text, 1)
    place = books.at((root / path).as_uri())
    assert place
    return place


def apply(edit: WorkspaceEdit) -> None:
    """Make the edits of a rename in the files, as an editor does that saves all."""
    for change in edit.document_changes or ():
        if isinstance(change, RenameFile):
            Path(change.old_uri.removeprefix("file://")).rename(change.new_uri.removeprefix("file://"))
            continue
        assert isinstance(change, TextDocumentEdit)
        place = Path(change.text_document.uri.removeprefix("file://"))
        edits = [one for one in change.edits if isinstance(one, TextEdit)]
        place.write_text(edited(place.read_text("utf-8"), *edits), "utf-8")


BOARD = """\
format = 1
design = "alder-a1"
kind = "graphics card"
processor = "U10"
parts = ["Q7"]
[[rail]]
name = "VMEM"
nominal = "1.35 V"
feeds = ["U1", "U10"]
through = ["Q7"]
[[point]]
name = "PX"
where = "coil L7"
rail = "VMEM"
[[point.limit]]
kind = "resistance"
state = "cold"
limit = "10 Ω .. 60 Ω"
[[point]]
name = "PY"
where = "coil L8"
[[point.limit]]
kind = "resistance"
to = "PX"
red_on = "PX"
removed = ["U1"]
limit = "<= 1 Ω"
[[package]]
part = "U1"
item = "ram"
[[memory]]
part = "U1"
channels = ["1L", "1H"]
balls = { 1L = ["A1"], 1H = ["A2"] }
[[check]]
name = "memory test"
covers = ["1L", "1H", "PX"]
[[cause]]
name = "U1 or its joints"
part = "U1"
[cause.affects]
1L = 0.9
"1L single data lines" = 0.5
PX = 0.4
"PX resistance low" = 0.3
"PY to PX resistance high without U1" = 0.2
"U1 warms first" = 0.4
"U1 seen damaged" = 0.1
"""

JOB = """\
format = 1
id = "K26-0001"
client = "c-001"
title = "PX and U1 are words here"
[board]
kind = "graphics card"
design = "alder-a1"
[intake]
complaint = "none"
condition = ["U1 missing"]
[dates]
received = 2026-10-05
[[reading]]
at = 2026-10-08T10:00:00
stage = "arrival"
point = "PX"
kind = "resistance"
value = "0.4 Ω"
state = "cold"
to = "U1"
[[reading]]
at = 2026-10-08T10:05:00
point = "PY"
kind = "resistance"
value = "0.4 Ω"
to = "PX"
red_on = "PX"
removed = ["U1"]
[[inject]]
at = 2026-10-08T10:20:00
rail = "VMEM"
volts = "1.0 V"
amps = "2.0 A"
minutes = 2
hottest = "U1, left corner"
[[seen]]
at = 2026-10-08T10:30:00
check = "memory test"
passed = ["1L"]
failed = ["1H", "U1 corner chipped"]
[[pad]]
at = 2026-10-08T11:00:00
part = "U1"
ball = "A1"
damage = "lifted"
[[work]]
at = 2026-10-08T12:00:00
did = "fit"
part = "U1"
came = "donor"
near = ["U1"]
probe = { t1 = "U1 joint", t2 = "board beside U1" }
[[used]]
at = 2026-10-08T12:00:00
part = "U1"
item = "ram"
from = "K26-0002"
donor_part = "U1"
[cause]
part = "U1"
[[waive]]
rule = "odd-one-out"
about = "PX"
why = "as marked"
[[waive]]
rule = "heat-cycles"
about = "U1"
why = "as marked"
[[waive]]
rule = "stock-negative"
about = "ram"
why = "as marked"
"""

DONOR = JOB.replace("K26-0001", "K26-0002").partition("[[reading]]")[0]
STOCK = """\
format = 1
[item.ram]
what = "memory"
counted = 3
counted_on = 2026-09-30
[[item.ram.cost]]
amount = "4.00 EUR"
[[item.ram.received]]
at = 2026-10-01T10:00:00
qty = 1
"""
BENCH = """\
format = 1
[bench]
name = "Test Bench"
letter = "K"
zone = "UTC"
currency = "EUR"
[[check]]
kind = "graphics card"
name = "cold"
covers = ["PY"]
[proof."graphics card"]
cold_resistance = ["PY"]
"""


@pytest.fixture
def book(tmp_path: Path) -> Path:
    files = {
        "bench.toml": BENCH, "stock.toml": STOCK, "boards/alder-a1.toml": BOARD, "jobs/2026/K26-0001.toml": JOB,
        "jobs/2026/K26-0002.toml": DONOR,
    }  # fmt: skip
    return make_book(tmp_path / "book", files)


def texts(root: Path) -> Mapping[str, str]:
    return {
        path.relative_to(root).as_posix(): path.read_text("utf-8") for path in sorted(root.rglob("*.toml"))
    }


THINGS = {
    "a point": ("jobs/2026/K26-0001.toml", 'point = "P‸X"', "PX", "PXNEW"),
    "a point from the board file": ("boards/alder-a1.toml", 'name = "P‸X"', "PX", "PXNEW"),
    "a point from affects": ("boards/alder-a1.toml", '"P‸X resistance low"', "PX", "PXNEW"),
    "a part": ("jobs/2026/K26-0001.toml", 'hottest = "U‸1', "U1", "U99"),
    "a channel": ("boards/alder-a1.toml", 'channels = ["1‸L"', "1L", "9L"),
    "an item": ("jobs/2026/K26-0001.toml", 'item = "ra‸m"', "ram", "ram-16"),
    "an item in its file": ("stock.toml", "[item.ra‸m]", "ram", "ram-16"),
}  # fmt: skip


@pytest.mark.parametrize(("path", "place", "old", "new"), THINGS.values(), ids=THINGS)
def test_a_rename_follows_every_place(book: Path, path: str, place: str, old: str, new: str) -> None:
    """Only words that jobkit does not read keep the old name: each text is the old one with that name replaced."""
    before = texts(book)
    apply(renamed(book, path, place, new).edit)
    word = re.compile(rf"(?<![\w-]){old}(?![\w-])")
    for name, text in texts(book).items():
        wanted = "\n".join(
            line if line.startswith("title") else word.sub(new, line) for line in before[name].split("\n")
        )
        assert text == wanted, name


def findings(root: Path) -> list[tuple[str, str]]:
    """Return what lint finds, but for amendments of today, which is after the day of these tests."""
    found = [(one.rule, one.file.replace("tarnhow-t7-16", "tarnhow-t7")) for one in found_in(root)]
    return sorted(one for one in found if one[0] != "date-future")


def test_after_a_rename_lint_finds_what_it_found_before(tmp_path: Path) -> None:
    """On the example book, all sorts of names one after the other."""
    root = tmp_path / "book"
    shutil.copytree(EXAMPLE, root)
    before = findings(root)
    job = "jobs/2026/K26-0047.toml"
    for key, value, new in (
        ("point", "V12", "V12B"), ("part", "Q214", "Q999"), ("item", "stage-50a-5x6", "stage-50"),
        ("meter", "dmm-1", "dmm-9"), ("rail", "V12", "VIN"), ("design", "tarnhow-t7-16", "tarnhow-t7"),
    ):  # fmt: skip
        found = re.search(rf'{key} *= "{value}"', (root / job).read_text("utf-8"))
        assert found, key
        apply(renamed(root, job, f"{found[0][:-2]}‸{found[0][-2:]}", new).edit)
    assert findings(root) == before


def test_a_point_that_the_policy_asks_for_is_renamed_on_every_board_of_the_kind(book: Path) -> None:
    other = BOARD.replace("alder-a1", "birch-b2")
    (book / "boards/birch-b2.toml").write_text(other, "utf-8")
    loose = DONOR.replace("K26-0002", "K26-0003").replace('design = "alder-a1"\n', "")
    reading = '[[reading]]\npoint = "PY"\nkind = "resistance"\nvalue = "1 Ω"\nlimit = "<= 2 Ω"\n'
    (book / "jobs/2026/K26-0003.toml").write_text(loose + reading, "utf-8")
    found = renamed(book, "boards/alder-a1.toml", 'name = "P‸Y"', "PZ")
    apply(found.edit)
    assert found.also == ("birch-b2",)
    assert "bench.toml asks for it" in found.told
    after = texts(book)
    assert 'cold_resistance = ["PZ"]' in after["bench.toml"]
    assert 'covers = ["PZ"]' in after["bench.toml"]
    assert [name for name, text in after.items() if '"PY' in text] == []


def test_a_point_that_no_policy_asks_for_stays_on_other_designs(book: Path) -> None:
    (book / "boards/birch-b2.toml").write_text(BOARD.replace("alder-a1", "birch-b2"), "utf-8")
    found = renamed(book, "boards/alder-a1.toml", 'name = "P‸X"', "PZ")
    apply(found.edit)
    assert not found.also
    assert '"PX"' in (book / "boards/birch-b2.toml").read_text("utf-8")
    assert '"PX"' not in (book / "boards/alder-a1.toml").read_text("utf-8")


def test_a_sent_job_says_why_it_was_changed_and_lint_finds_no_broken_seal(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    forget_git_settings(monkeypatch)
    sent = JOB.replace("received = 2026-10-05", "received = 2026-10-05\nsent = 2026-10-20")
    (book / "jobs/2026/K26-0001.toml").write_text(sent, "utf-8")
    GitRepo.make(book).commit("Sent")
    found = renamed(book, "boards/alder-a1.toml", 'name = "P‸X"', "PZ")
    assert found.amended == 1
    assert "1 sent job got [[amended]]" in found.told
    apply(found.edit)
    text = (book / "jobs/2026/K26-0001.toml").read_text("utf-8")
    assert 'why = "the point PX is called PZ now; nothing else was changed"' in re.sub(" +=", " =", text)
    assert 'by = "ida"' in re.sub(" +=", " =", text)
    rules = {one.rule for one in found_in(book)}
    assert "sealed" not in rules


def test_a_design_is_renamed_with_its_file_and_sent_jobs_need_no_reason(book: Path) -> None:
    sent = JOB.replace("received = 2026-10-05", "received = 2026-10-05\nsent = 2026-10-20")
    (book / "jobs/2026/K26-0001.toml").write_text(sent, "utf-8")
    found = renamed(book, "jobs/2026/K26-0001.toml", 'design = "alder‸-a1"', "alder-a2")
    assert found.amended == 0
    apply(found.edit)
    assert not (book / "boards/alder-a1.toml").exists()
    assert 'design = "alder-a2"' in (book / "boards/alder-a2.toml").read_text("utf-8")
    assert 'design = "alder-a2"' in (book / "jobs/2026/K26-0001.toml").read_text("utf-8")


REFUSED = {
    "a name that is taken": ('point = "P‸X"', "PY", "there is a point PY already"),
    "a part that is there": ('hottest = "U‸1', "Q7", "there is a part Q7 already"),
    "no name": ('point = "P‸X"', " ", "is not a name"),
    "a quotation mark": ('point = "P‸X"', 'a"b', "is not a name"),
    "a part that words would not name": ('hottest = "U‸1', "coil", "is not read as a part in words"),
    "a board file of capitals": ('design = "alder‸-a1"', "Alder", "cannot be the name of a board file"),
}  # fmt: skip


@pytest.mark.parametrize(("place", "new", "why"), REFUSED.values(), ids=REFUSED)
def test_a_rename_that_cannot_be_is_refused(book: Path, place: str, new: str, why: str) -> None:
    with pytest.raises(RenameError, match=re.escape(why)):
        renamed(book, "jobs/2026/K26-0001.toml", place, new)


def test_a_rename_is_refused_where_one_file_cannot_be_read(book: Path) -> None:
    (book / "jobs/2026/K26-0002.toml").write_text(DONOR + 'x = "ram', "utf-8")
    (book / "jobs/2026/K26-0003.toml").write_text(JOB.replace("K26-0001", "K26-0003") + "half", "utf-8")
    with pytest.raises(RenameError, match=r"jobs/2026/K26-0003\.toml cannot be changed"):
        renamed(book, "stock.toml", "[item.ra‸m]", "ram-16")


def test_a_channel_of_a_log_keeps_its_name(book: Path) -> None:
    text = JOB.replace('passed = ["1L"]', 'passed = ["1L"]\nlog = "memory.csv"')
    (book / "jobs/2026/K26-0001.toml").write_text(text, "utf-8")
    with pytest.raises(RenameError, match=r"the log memory\.csv"):
        renamed(book, "boards/alder-a1.toml", 'channels = ["1‸L"', "9L")


def test_an_editor_that_renames_no_files_is_told_so(book: Path) -> None:
    with pytest.raises(RenameError, match="your editor does not rename files"):
        renamed(book, "jobs/2026/K26-0001.toml", 'design = "alder‸-a1"', "alder-a2", moves_files=False)


def test_what_has_no_name_is_not_renamed(book: Path) -> None:
    text, position = marked(JOB.replace("complaint =", "compl‸aint ="))
    opened, file = shown(book, "jobs/2026/K26-0001.toml", text)
    assert renameable(file, opened, position) is None
    with pytest.raises(RenameError):
        rename(file, opened, position, "x")


def test_a_board_without_a_design_keeps_the_name_to_itself(book: Path) -> None:
    loose = JOB.replace('design = "alder-a1"\n', "")
    (book / "jobs/2026/K26-0003.toml").write_text(loose.replace("K26-0001", "K26-0003"), "utf-8")
    apply(renamed(book, "jobs/2026/K26-0003.toml", 'point = "P‸X"', "PZ").edit)
    assert '"PX"' in (book / "jobs/2026/K26-0001.toml").read_text("utf-8")
    assert 'point = "PZ"' in (book / "jobs/2026/K26-0003.toml").read_text("utf-8")


def test_names_have_the_offsets_of_their_letters(book: Path) -> None:
    for path, text in texts(book).items():
        file = OpenFile(book, path, text)
        for one in names_in(file):
            assert text[one.start : one.end] == one.name
