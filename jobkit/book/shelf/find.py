"""Where the book begins."""

import os
from pathlib import Path

from jobkit.units.errors import MisuseError


class NoBookError(MisuseError):
    """No book is at or above a folder."""


def find_book(start: str | os.PathLike[str]) -> Path:
    """Return the folder that holds bench.toml, found by walking up from `start` (a folder, or a file in one).

    Raises NoBookError, which says how to begin a book or name one.
    """
    place = Path(os.path.realpath(start))
    if not place.exists():
        raise NoBookError(f"there is no {start}", "name the folder of a book with --book")
    # A link or folder of that name counts: reading it says what is wrong, passing it by would open another
    # book.
    for folder in (place, *place.parents):
        if os.path.lexists(folder / "bench.toml"):
            return folder
    message = f"there is no bench.toml in {place} or in a folder above it"
    raise NoBookError(message, "create a book with `jobkit init`, or name one with --book")
