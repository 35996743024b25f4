"""Photos: scaled, upright, without what a camera writes into them; and what is not a photo."""

from __future__ import annotations

import io
from base64 import b64decode
from collections.abc import Iterator

import pytest

from jobkit.pages.forms import picture
from jobkit.pages.forms.picture import Picture, PictureError, picture_of

image = pytest.importorskip("PIL.Image", reason="Pillow is an extra of jobkit")
_ORIENTATION, _GPS, _LATITUDE = 0x0112, 0x8825, 2
"""Tags of Exif 2.3 (JEITA CP-3451C): orientation, the table of the place, latitude in it."""


def photo(width: int, height: int, *, form: str = "JPEG", turned: int = 0, place: bool = False) -> bytes:
    made = image.new("RGB", (width, height), "navy")
    made.paste("orange", (0, 0, width // 2, height // 2))
    exif = image.Exif()
    if turned:
        exif[_ORIENTATION] = turned
    if place:
        exif.get_ifd(_GPS)[_LATITUDE] = (64.0, 8.0, 30.0)
        exif[0x010E] = "SECRET PLACE"
    out = io.BytesIO()
    made.save(out, form, exif=exif)
    return out.getvalue()


def opened(made: Picture) -> Iterator[object]:
    return image.open(io.BytesIO(b64decode(made.source.partition(",")[2])))  # type: ignore[no-any-return]


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_a_large_photo_is_scaled_and_a_small_one_is_not_blown_up(form: str) -> None:
    assert picture_of(photo(4000, 3000, form=form))[1:] == (1000, 750)
    assert picture_of(photo(200, 100, form=form))[1:] == (200, 100)


def test_the_place_is_not_in_the_picture() -> None:
    before = photo(400, 300, place=True)
    assert b"SECRET PLACE" in before
    made = picture_of(before)
    assert b"SECRET" not in b64decode(made.source.partition(",")[2])
    assert not dict(opened(made).getexif())  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("turned", "corner"), [(1, "top left"), (3, "bottom right"), (6, "top right"), (8, "bottom left")]
)
def test_a_turned_photo_is_made_upright(turned: int, corner: str) -> None:
    made = picture_of(photo(400, 300, turned=turned))
    assert (made.width, made.height) == ((400, 300) if turned in {1, 3} else (300, 400))
    x = 20 if "left" in corner else made.width - 20
    y = 20 if "top" in corner else made.height - 20
    red, _, blue = opened(made).getpixel((x, y))  # type: ignore[attr-defined]
    assert red > blue


SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (SVG, "not a JPEG"),
        (b"", "not a JPEG"),
        (b"\xff\xd8\xff", "not a JPEG"),
        (photo(300, 300)[:-2000][:900], "damaged"),
        (b"%!PS-Adobe-3.0 EPSF-3.0\n", "not a JPEG"),
    ],
    ids=["SVG", "empty", "first bytes", "cut", "PostScript"],
)
def test_what_is_not_a_photo_is_refused(content: bytes, why: str) -> None:
    with pytest.raises(PictureError, match=why):
        picture_of(content)


def test_more_pixels_than_a_camera_has_are_refused_before_they_are_unpacked(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(picture, "MOST_PIXELS", 1000)
    with pytest.raises(PictureError, match="too many"):
        picture_of(photo(100, 100))


def test_the_same_photo_gives_the_same_bytes() -> None:
    assert picture_of(photo(640, 480)) == picture_of(photo(640, 480))
