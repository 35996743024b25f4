"""Photos: named in a job, found by lint, written by jot, shown by the report, and the one of the example is drawn."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.books import EXAMPLE, JOB, JOB_PATH, make_book, put
from tests.conftest import Run
from tests.drawn_picture import picture

FOLDER = JOB_PATH.removesuffix(".toml")


def _book(tmp_path: Path, more: str, intake: str = "") -> Path:
    job = JOB.replace("[intake]\n", f"[intake]\n{intake}") + more
    return make_book(tmp_path / "book", {JOB_PATH: job})


def test_the_picture_of_the_example_is_the_drawn_one() -> None:
    assert (EXAMPLE / "jobs/2026/K26-0047/q214-drawn.png").read_bytes() == picture()


@pytest.mark.parametrize(
    ("more", "intake"),
    [
        ("", 'photos = ["site.jpg"]\n'),
        ('\n[[seen]]\ncheck = "eye"\nphotos = ["site.jpg"]\n', ""),
        (
            """
[[pad]]
part = "U1"
ball = "B4"
damage = "lifted"
photos = [{ file = "site.jpg", caption = "B4 before the repair" }]
""",
            "",
        ),
        ('\n[[work]]\ndid = "clean"\nphotos = ["site.jpg"]\n', ""),
    ],
    ids=["intake", "seen", "pad", "work"],
)
def test_a_photo_that_is_not_there_is_found_and_one_that_is_there_is_shown(
    run: Run, tmp_path: Path, more: str, intake: str
) -> None:
    book = _book(tmp_path, more, intake)
    missing = run("lint", "--book", book, "--format", "json").data["findings"]
    assert [(one["rule"], one["about"]) for one in missing if one["rule"] == "file-missing"] == [
        ("file-missing", "site.jpg")
    ]
    put(book / FOLDER / "site.jpg", b"\xff\xd8\xff")
    found = run("lint", "--book", book, "--format", "json").data["findings"]
    assert "file-missing" not in {one["rule"] for one in found}
    report = run("report", "1", "--book", book)
    assert report.status == 0, report.err
    assert "site.jpg" in report.out
    assert "site.jpg" in run("show", "1", "--book", book).out
    data = run("report", "1", "--book", book, "--format", "json").data["photos"]
    assert [one["file"] for one in data] == ["site.jpg"]


def test_a_photo_outside_the_folder_is_refused(run: Run, tmp_path: Path) -> None:
    book = _book(tmp_path, '\n[[seen]]\ncheck = "eye"\nphotos = ["../../me.jpg"]\n')
    assert "file-outside" in run("lint", "--book", book).out


@pytest.mark.parametrize(
    ("photos", "message"),
    [
        ("[3]", "photos"),
        ('[{ caption = "no file" }]', '"file" is missing'),
        ('[{ file = "a.jpg", by = "ida" }]', "by"),
    ],
)
def test_a_photo_that_cannot_be_read_is_a_clear_finding(
    run: Run, tmp_path: Path, photos: str, message: str
) -> None:
    book = _book(tmp_path, f'\n[[seen]]\ncheck = "eye"\nphotos = {photos}\n')
    ran = run("lint", "--book", book)
    assert ran.status == 1
    assert message in ran.out


def test_jot_writes_photos_with_and_without_a_caption(run: Run, tmp_path: Path) -> None:
    book = _book(tmp_path, "")
    words = ("seen", "eye", "photos", "site.jpg", "photos", "pad.jpg=B4 before the repair")
    ran = run("jot", *words, "--job", "1", "--book", book)
    assert ran.status == 0, ran.err
    assert 'photos = ["site.jpg", { file = "pad.jpg", caption = "B4 before the repair" }]' in (
        book / JOB_PATH
    ).read_text("utf-8")


def test_the_report_shows_what_a_photo_is_of(run: Run) -> None:
    report = " ".join(run("report", "47", "--on", "2026-11-20", "--book", EXAMPLE).out.split())
    assert "check: eye, 20 times q214-drawn.png Q214 from above" in report
