"""Part text into lines by how wide it is on a terminal, where some characters take two columns and some none."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from jobkit.pages.cell_width import cell_width


def wrapped(text: str, width: int) -> list[str]:
    """Part a sentence at its spaces; a word that is too long stays whole, as a path or a command must.

    Only what is wider than it is long is cut, as a sentence in a script without spaces is.

    >>> wrapped("see jobs/2026/K26-0047.toml", 12)
    ['see', 'jobs/2026/K26-0047.toml']
    >>> wrapped("画像が出ない board", 8)
    ['画像が出', 'ない', 'board']
    """
    if cell_width(text) == len(text):
        return textwrap.wrap(text, width, break_long_words=False, break_on_hyphens=False) or [""]
    words = text.split()
    return list(joined((piece for word in words for piece in _cut(word, width)), width)) or [""]


def joined(words: Iterable[str], width: int) -> Iterator[str]:
    """Put words into lines, as many as there is room for."""
    line = ""
    for word in words:
        if line and cell_width(line) + 1 + cell_width(word) <= width:
            line += f" {word}"
        else:
            if line:
                yield line
            line = word
    if line:
        yield line


def pieces(word: str, width: int) -> Iterator[str]:
    """Cut a word that is wider than the column, such as a sentence in a script without spaces."""
    piece = ""
    for letter in word:
        if piece and cell_width(piece + letter) > width:
            yield piece
            piece = ""
        piece += letter
    yield piece


def _cut(word: str, width: int) -> Iterator[str]:
    if cell_width(word) == len(word):
        yield word
    else:
        yield from pieces(word, width)
