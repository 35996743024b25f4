"""Whether a picture says where it was taken: the latitude that a camera writes beside the picture.

Cameras keep it in a block of the form of Exif (CIPA DC-008, which is a TIFF directory; from memory): tag 0x8825 of the
first directory leads to the directory of places, where tag 2 is the latitude. Phones and programs also write it as XMP
(ISO 16684-1), a text with `GPSLatitude`.
"""

from __future__ import annotations

import re
import struct
from collections.abc import Iterator

_BLOCK = re.compile(rb"(?:Exif\0\0|eXIf|EXIF.{4})(?=II\*\0|MM\0\*)", re.DOTALL)
"""What is before a block: in JPEG and HEIF, in PNG, and in WebP, where four bytes of size follow."""
_XMP_PLACE = re.compile(rb"GPSLatitude\b")
_PICTURES = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF")
_PLACES, _LATITUDE = 0x8825, 2
_MOST_ENTRIES = 1000


def has_place(content: bytes) -> bool:
    """Tell whether a picture says where it was taken; False for what is not a picture, or damaged."""
    if not content.startswith(_PICTURES) and content[4:8] != b"ftyp":
        return False
    if _XMP_PLACE.search(content):
        return True
    return any(_block_has_place(content[found.end() :]) for found in _BLOCK.finditer(content))


def _block_has_place(block: bytes) -> bool:
    order = "<" if block.startswith(b"II") else ">"
    try:
        (first,) = struct.unpack_from(order + "I", block, 4)
        places = [value for tag, value in _entries(block, first, order) if tag == _PLACES]
        return any(tag == _LATITUDE for start in places for tag, _ in _entries(block, start, order))
    except struct.error:
        return False


def _entries(block: bytes, start: int, order: str) -> Iterator[tuple[int, int]]:
    """Yield tag and value of the entries of a directory."""
    (count,) = struct.unpack_from(order + "H", block, start)
    for number in range(min(count, _MOST_ENTRIES)):
        tag, _, _, value = struct.unpack_from(order + "HHII", block, start + 2 + 12 * number)
        yield tag, value
