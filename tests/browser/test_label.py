"""The label of a box: read back by a program that reads codes, and without anything about the client."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from jobkit.jobs.job import Board, Job
from jobkit.pages.bench.label import label_page
from tests.books import EXAMPLE
from tests.browser.conftest import Open
from tests.conftest import Run

ZBAR = shutil.which("zbarimg")
needs_zbar = pytest.mark.skipif(ZBAR is None, reason="zbarimg (zbar-tools) is not installed")


def read(picture: Path) -> str:
    done = subprocess.run([str(ZBAR), "-q", "--raw", str(picture)], capture_output=True, check=True)
    return done.stdout.decode().strip()


@needs_zbar
def test_the_code_drawn_in_text_is_the_id(run: Run, tmp_path: Path) -> None:
    image = pytest.importorskip("PIL.Image")
    lines = run("label", "47", "--book", EXAMPLE).out.splitlines()
    rows = [line for line in lines if set(line) <= set(" ▀▄█")][1:]
    rows = [row.ljust(max(map(len, rows)) + 4) for row in rows]
    made = image.new("1", (len(rows[0]), 2 * len(rows)), 1)
    for y, row in enumerate(rows):
        for x, letter in enumerate(row):
            made.putpixel((x, 2 * y), letter not in "▀█")
            made.putpixel((x, 2 * y + 1), letter not in "▄█")
    made.resize((made.width * 8, made.height * 8)).save(tmp_path / "code.png")
    assert read(tmp_path / "code.png") == "K26-0047"


@needs_zbar
def test_the_label_drawn_by_a_browser_is_read(run: Run, see: Open, tmp_path: Path) -> None:
    to = tmp_path / "label.svg"
    assert run("label", "47", "--book", EXAMPLE, "--format", "svg", "-o", to).status == 0
    seen = see(to, 600)
    seen.page.screenshot(path=tmp_path / "label.png")
    assert (read(tmp_path / "label.png"), seen.said, seen.fetched) == ("K26-0047", [], [])


def test_nothing_of_the_client_is_on_it(run: Run) -> None:
    for form in ("text", "svg", "markdown", "html", "json"):
        out = run("label", "47", "--book", EXAMPLE, "--format", form).out
        assert "K26-0047" in out
        assert not [word for word in ("c-031", "T7-0019-5521", "thunderstorm") if word in out]


@pytest.mark.parametrize(
    "text", ["<script>&\"'", "x" * 4000, "لوحة 👩"], ids=["markup", "long", "other scripts"]
)
def test_any_design_is_text_of_a_bounded_length(text: str) -> None:
    svg = label_page(Job("jobs/2026/K26-0001.toml", "K26-0001", board=Board(design=text))).own["svg"]()
    parsed = ET.fromstring(svg)  # noqa: S314 - made here
    shown = [one.text or "" for one in parsed.iter("{http://www.w3.org/2000/svg}text")]
    assert shown[0] == "K26-0001"
    assert shown[1] in {text, f"{text[:25]}…"}
