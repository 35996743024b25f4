"""The picture of the example book: drawn by this module, because no real board may be shown there.

`python -m tests.drawn_picture FILE` writes it: a part on its pads, seen from above, with a crack across its body.
"""

from __future__ import annotations

import sys
import zlib
from pathlib import Path
from struct import pack

WIDTH, HEIGHT = 160, 120
_BOARD, _COPPER, _BODY, _CRACK = (28, 92, 60), (196, 160, 92), (44, 44, 48), (226, 226, 226)
Pixel = tuple[int, int, int]


def picture() -> bytes:
    """Draw the picture, as PNG (ISO/IEC 15948): 8-bit colour, no filter."""
    rows = b"".join(b"\0" + bytes(part for x in range(WIDTH) for part in _pixel(x, y)) for y in range(HEIGHT))
    header = pack(">IIBBBBB", WIDTH, HEIGHT, 8, 2, 0, 0, 0)
    chunks = ((b"IHDR", header), (b"IDAT", zlib.compress(rows, 9)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(name, data) for name, data in chunks)


def _chunk(name: bytes, data: bytes) -> bytes:
    return pack(">I", len(data)) + name + data + pack(">I", zlib.crc32(name + data))


def _pixel(x: int, y: int) -> Pixel:
    if 40 <= x < 120 and 30 <= y < 90:
        crack = 30 + (x - 40) * 60 // 80 + (x // 5 % 2) * 4
        return _CRACK if abs(y - crack) < 2 else _BODY
    on_pad_row = 22 <= y < 30 or 90 <= y < 98
    return _COPPER if on_pad_row and 44 <= x < 116 and (x - 44) % 18 < 10 else _BOARD


if __name__ == "__main__":
    Path(sys.argv[1]).write_bytes(picture())
