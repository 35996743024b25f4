"""What is in the files that jobs name, for those who work out something from it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol, TypeVar

from jobkit.units.phrase import phrase

_Made = TypeVar("_Made")


class Contents(Protocol):
    """Opens the files of a book by their paths."""

    @property
    def are_at_hand(self) -> bool:
        """Tell whether a file that is not given is not there; else nothing is known of any file."""

    def made_of(self, path: str, make: Callable[[bytes], _Made]) -> _Made | None:
        """Give what `make` makes of a file's content; None for a file that is not there or cannot be read.

        `make` depends on the content alone, so that its answer may be kept for as long as the content stays.
        """

    def why_unread(self, path: str) -> str:
        """Say why a file that was asked for and is there cannot be read; "" for any other."""


class NoContents:
    """No file is at hand."""

    are_at_hand = False

    def made_of(self, path: str, make: Callable[[bytes], _Made]) -> _Made | None:
        """Give nothing."""
        del path, make
        return None

    def why_unread(self, path: str) -> str:
        """Say nothing."""
        del path
        return ""


def trouble_of(path: str, contents: Contents) -> str:
    """Say why nothing can be made of a file: it is not there, or, for one that is, what is wrong with it."""
    return contents.why_unread(path) or phrase("there is no file {path}", path=path)
