"""Photos that say where they were taken, as Pillow, a general-purpose library, writes them."""

from __future__ import annotations

import io
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
