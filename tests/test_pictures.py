"""The pictures of the README are those that the example book gives today, and say in words what they show."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from wcwidth import wcswidth

from tests.pictures.book import FOLDER, REPORT, SHOWN, pictures
from tests.pictures.terminal import CELL, MARGIN, runs, terminal_svg

README = (FOLDER.parents[1] / "README.md").read_text("utf-8")
NAMES = (*SHOWN, REPORT[0])
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def drawn() -> dict[str, str]:
    return pictures()


@pytest.mark.parametrize("name", NAMES)
def test_a_picture_is_current(name: str, drawn: dict[str, str]) -> None:
    kept = (FOLDER / name).read_bytes().decode()
    assert kept == drawn[name], f"{name} is not what jobkit shows today; run `python -m tests.pictures`"


@pytest.mark.parametrize("name", NAMES)
def test_a_picture_is_sound_and_says_what_it_shows(name: str) -> None:
    path = FOLDER / name
    root = ET.fromstring(path.read_text("utf-8"))  # noqa: S314 - our own file
    assert root.get("role") == "img"
    assert root.findtext(f"{SVG}title")
    assert path.stat().st_size < 30_000
    words = re.findall(rf"!\[([^\]]{{20,}})\]\(tests/pictures/{name}\)", README)
    assert len(words) == 1


def test_no_picture_is_left_over() -> None:
    assert {path.name for path in FOLDER.glob("*.svg")} == set(NAMES)
    assert not re.findall(r"!\[[^\]]*\]\((?!tests/pictures/)", README)


@pytest.mark.parametrize(
    ("line", "pieces"),
    [
        ("a b  c", [(0, "a b", ""), (5, "c", "")]),
        ("\x1b[1mhead\x1b[0m  tail", [(0, "head", "strong"), (6, "tail", "")]),
        ("漢字  in", [(0, "漢字", ""), (6, "in", "")]),
        ("x  \x1b[31mout\x1b[0m", [(0, "x", ""), (3, "out", "red")]),
        ("", []),
    ],
    ids=["gap", "colour", "wide", "colour after a gap", "empty"],
)
def test_each_piece_begins_at_its_own_column(line: str, pieces: list[tuple[int, str, str]]) -> None:
    assert [tuple(run) for run in runs(line)] == pieces


def test_text_is_escaped_and_as_long_as_in_the_terminal() -> None:
    root = ET.fromstring(terminal_svg("T", "c", "<b> & 漢"))  # noqa: S314 - our own text
    _, last = root.findall(f"{SVG}text")
    assert last.text == "<b> & 漢"
    assert float(last.get("textLength", "0")) == pytest.approx(wcswidth("<b> & 漢") * CELL, abs=0.1)
    assert float(last.get("x", "0")) == MARGIN


def test_pictures_are_not_in_the_wheel() -> None:
    project = (Path(__file__).parent.parent / "pyproject.toml").read_text("utf-8")
    assert 'packages = ["jobkit"]' in project
