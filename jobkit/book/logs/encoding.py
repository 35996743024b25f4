"""How the bytes of a log become letters: the byte order mark decides, else the first bytes."""

from __future__ import annotations

import codecs

from jobkit.named_tuple import NamedTuple

SAMPLE = 1 << 16
"""So many bytes from the start of a log are looked at for its encoding and its dialect."""

_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


class Encoding(NamedTuple):
    """A codec's name, and how it was found if it is a guess."""

    codec: str
    guess: str = ""


def find_encoding(sample: bytes, stated: str | None = None) -> Encoding | None:
    """Return the encoding of a log that begins with `sample`; None if the bytes are not a text.

    `stated` is the encoding that the person named. Raises LookupError if Python does not know it.

    >>> find_encoding("25 °C".encode("latin-1"))
    Encoding(codec='latin-1', guess='encoding: Latin-1 (the bytes are not UTF-8)')
    """
    if stated is not None:
        return Encoding(codecs.lookup(stated).name)
    for mark, codec in _MARKS:
        if sample.startswith(mark):
            return Encoding(codec)
    if b"\0" in sample:
        return _utf_16_without_mark(sample)
    if _is_utf_8(sample):
        return Encoding("utf-8")
    return Encoding("latin-1", "encoding: Latin-1 (the bytes are not UTF-8)")


def _utf_16_without_mark(sample: bytes) -> Encoding | None:
    """Take a text for UTF-16 if nearly every other byte of it is zero, as in Latin letters and digits."""
    half = len(sample) // 2
    for codec, zeros, others in (
        ("utf-16-le", sample[1::2], sample[0::2]),
        ("utf-16-be", sample[0::2], sample[1::2]),
    ):
        if zeros.count(0) > half * 0.9 and others.count(0) == 0:
            return Encoding(codec, f"encoding: {codec.upper()} (no byte order mark)")
    return None


def _is_utf_8(sample: bytes) -> bool:
    # The sample may end in the middle of a letter, which is not a fault.
    try:
        codecs.getincrementaldecoder("utf-8")().decode(sample, final=len(sample) < SAMPLE)
    except UnicodeDecodeError:
        return False
    return True
