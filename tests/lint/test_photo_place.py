"""Photos that say where they were taken, as Pillow, a general-purpose library, writes them."""

from __future__ import annotations

import io
import struct
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.lint.rules.photo_place import has_place
from tests.book.repo import GitRepo
from tests.books import EXAMPLE
from tests.conftest import Run

Image = pytest.importorskip("PIL.Image", reason="Pillow, extra `photos`, is not installed")


def photo(form: str, *, place: bool, order: str = "<") -> bytes:
    exif = Image.Exif()
    exif.endian = order
    exif[0x0112] = 6  # orientation
    exif[0x010F] = "a maker"
    if place:
        exif.get_ifd(0x8825).update({1: "N", 2: (64.0, 8.0, 0.0), 3: "W", 4: (21.0, 56.0, 0.0)})
    written = io.BytesIO()
    Image.new("RGB", (40, 30), "green").save(written, form, exif=exif)
    return written.getvalue()


@pytest.mark.parametrize("place", [True, False], ids=["with place", "without"])
@pytest.mark.parametrize("order", "<>", ids=["little", "big"])
@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_forms(form: str, order: str, place: bool) -> None:  # noqa: FBT001 - a parameter of the test
    content = photo(form, place=place, order=order)
    assert has_place(content) is place
    assert bool(Image.open(io.BytesIO(content)).getexif().get_ifd(0x8825)) is place


@pytest.mark.parametrize("place", [True, False], ids=["with place", "without"])
def test_heif(place: bool) -> None:  # noqa: FBT001 - a parameter of the test
    # A file of ISO/IEC 23008-12 begins with a box `ftyp`, length first (ISO/IEC 14496-12); from memory.
    box = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"
    assert has_place(box + photo("JPEG", place=place)[2:]) is place


def test_xmp() -> None:
    packet = b'<x:xmpmeta><rdf:Description exif:GPSLatitude="64,8.0N"/></x:xmpmeta>'
    assert has_place(b"\xff\xd8\xff\xe1\x00\x80http://ns.adobe.com/xap/1.0/\0" + packet)
    assert not has_place(b"<html>GPSLatitude</html>")


def directory(*entries: tuple[int, int]) -> bytes:
    """Write a directory of TIFF: how many entries, then tag, type, count and value of each (TIFF 6.0, section 2)."""
    rows = [struct.pack("<HHII", tag, 4, 1, value) for tag, value in entries]
    return struct.pack("<H", len(rows)) + b"".join(rows)


def picture(*directories: bytes) -> bytes:
    """Write a JPEG with an Exif block of directories that follow one another, from byte 8 of the block on."""
    return b"\xff\xd8\xff\xe1\0\x80Exif\0\0II*\0" + struct.pack("<I", 8) + b"".join(directories)


ORIENTATION, PLACES, LONGITUDE, LATITUDE = 0x0112, 0x8825, 4, 2
BEHIND = 8 + 2 + 2 * 12
"""Where a directory begins that follows one of two entries."""


DIRECTORIES = {
    "a latitude": (
        picture(directory((ORIENTATION, 6), (PLACES, BEHIND)), directory((LONGITUDE, 0), (LATITUDE, 0))),
        True,
    ),
    "no directory": (picture(), False),
    "a longitude alone": (
        picture(directory((ORIENTATION, 6), (PLACES, BEHIND)), directory((LONGITUDE, 0), (1, 0))),
        False,
    ),
    "tag 2 in the first directory": (picture(directory((ORIENTATION, 6), (LATITUDE, 0))), False),
    "tag 2 behind the last entry": (
        picture(
            directory((ORIENTATION, 6), (PLACES, BEHIND)), directory((1, 0)), directory((LATITUDE, 0))[2:]
        ),
        False,
    ),
    "the 1000th entry leads to it": (
        picture(directory(*[(ORIENTATION, 6)] * 999, (PLACES, 8 + 2 + 12000)), directory((LATITUDE, 0))),
        True,
    ),
    "more entries than a directory has": (
        picture(directory(*[(ORIENTATION, 6)] * 1000, (PLACES, 8 + 2 + 12012)), directory((LATITUDE, 0))),
        False,
    ),
}


@pytest.mark.parametrize(("content", "expected"), DIRECTORIES.values(), ids=DIRECTORIES)
def test_directories(content: bytes, expected: bool) -> None:  # noqa: FBT001 - a column of the table
    assert has_place(content) is expected


@given(st.binary(max_size=80))
def test_damaged_photos_are_no_trouble(tail: bytes) -> None:
    has_place(b"\xff\xd8\xff\xe1\x00\x80Exif\0\0II*\0" + tail)
    has_place(photo("JPEG", place=True)[: len(tail) * 3])


def test_lint_names_a_staged_photo(tmp_path: Path, run: Run) -> None:
    repo = GitRepo.make(tmp_path)
    repo.write("bench.toml", (EXAMPLE / "bench.toml").read_text("utf-8"))
    repo.commit("The bench")
    folder = tmp_path / "jobs/2026/K26-0001"
    folder.mkdir(parents=True)
    (folder / "site.jpg").write_bytes(photo("JPEG", place=True))
    (folder / "plain.jpg").write_bytes(photo("JPEG", place=False))
    ran = run("--book", tmp_path, "lint", "--on", "2026-11-20")
    assert "jobs/2026/K26-0001/site.jpg says where it was taken" in ran.out
    assert "plain.jpg" not in ran.out
