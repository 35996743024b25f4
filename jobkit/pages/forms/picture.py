"""A photo made fit for a page: scaled down, turned upright, and without what a camera writes into it.

The picture is painted again, so place, time, owner and thumbnail that a camera stores in the file are not in it.
"""

from __future__ import annotations

import io
from base64 import b64encode

from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError

WIDEST = 1000
"""The longer side of a picture on a page, in pixels: some 150 pixels an inch across half a page of A4."""
MOST_PIXELS = 120_000_000
_FORMATS = ("JPEG", "PNG", "WEBP", "GIF")
_QUALITY = 78


class PictureError(MisuseError):
    """A file cannot be shown as a photo."""


class Picture(NamedTuple):
    """A picture to be put into a page, its width and height in pixels."""

    source: str
    width: int
    height: int


class Scaled(NamedTuple):
    """A scaled photo as the content of a JPEG file, its width and height in pixels."""

    content: bytes
    width: int
    height: int


def picture_of(content: bytes, widest: int = WIDEST) -> Picture:
    """Make a picture that is inside the page of what a photo's file holds; raises PictureError."""
    made = scaled(content, widest)
    source = f"data:image/jpeg;base64,{b64encode(made.content).decode()}"
    return Picture(source, made.width, made.height)


def scaler() -> str:
    """Name what scales photos here, with its version; "" where photos are not shown."""
    try:
        import PIL  # noqa: PLC0415 - an extra
    except ImportError:
        return ""
    return f"Pillow {PIL.__version__}"


def scaled(content: bytes, widest: int = WIDEST) -> Scaled:
    """Scale what a photo's file holds; raises PictureError."""
    try:
        from PIL import Image, ImageOps, UnidentifiedImageError  # noqa: PLC0415 - an extra
    except ImportError as missing:
        raise PictureError(
            "photos are not shown, as Pillow is not installed", "pip install 'jobkit[photos]'"
        ) from missing
    try:
        photo = Image.open(io.BytesIO(content), formats=_FORMATS)
    except UnidentifiedImageError as unknown:
        raise PictureError("it is not a JPEG, PNG, WebP or GIF picture", "save it as JPEG") from unknown
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as huge:
        raise PictureError("it has too many pixels", "save it smaller") from huge
    if photo.width * photo.height > MOST_PIXELS:
        raise PictureError(f"it has too many pixels, {photo.width} x {photo.height}", "save it smaller")
    try:
        photo.draft("RGB", (2 * widest, 2 * widest))
        upright = ImageOps.exif_transpose(photo).convert("RGBA")
    # A damaged file may raise nearly anything in a decoder.
    except (OSError, ValueError, SyntaxError, EOFError) as broken:
        raise PictureError("the file is damaged", "save it again") from broken
    upright.thumbnail((widest, widest))
    flat = Image.new("RGB", upright.size, "white")
    flat.paste(upright, mask=upright.getchannel("A"))
    out = io.BytesIO()
    flat.save(out, "JPEG", quality=_QUALITY, optimize=True)
    return Scaled(out.getvalue(), *flat.size)
