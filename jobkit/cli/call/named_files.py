"""The files that a call names, in a book: by their path, or as the job whose id a word ends."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from jobkit.book.read.lookup import jobs_ending, some
from jobkit.book.shelf.find import NoBookError, find_book
from jobkit.book.shelf.opening import Shelf, kind_of
from jobkit.units.errors import MisuseError

Wanted = Callable[[str], bool]
"""Tells of a path in the book whether it is meant."""


def everything(_path: str) -> bool:
    """Mean every file."""
    return True


def book_around(paths: Sequence[str]) -> Path:
    """Find the book of the first path that is there; the one around the current folder where none is.

    Raises MisuseError where there is no such book.
    """
    there = next((path for path in paths if Path(path).exists()), None)
    try:
        return find_book(there or Path.cwd())
    except NoBookError:
        if there or not paths:
            raise
    raise MisuseError(
        f"there is no {paths[0]}, and no book here to look for a job in",
        "check the name, or name the folder of a book with --book",
    )


def named(shelf: Shelf, root: Path, paths: Sequence[str]) -> Wanted:
    """Mean the files named on the command line, or below a folder named there; all where none is named.

    A word that is not a file is the tail of a job's id, as in every command. Raises MisuseError for what is neither,
    or is outside the book.
    """
    inside = [_in_book(root, path) if Path(path).exists() else _job(shelf, path) for path in paths]
    if not inside or "." in inside:
        return everything
    return lambda path: any(path == one or path.startswith(f"{one}/") for one in inside)


def _in_book(root: Path, path: str) -> str:
    place = Path(path).resolve()
    if not place.is_relative_to(root):
        raise MisuseError(f"{path} is outside the book {root}", "name a file of the book, or another --book")
    return place.relative_to(root).as_posix()


def _job(shelf: Shelf, word: str) -> str:
    meant = jobs_ending(_job_paths(shelf), word)
    if len(meant) == 1:
        return next(iter(meant.values()))
    if meant:
        raise MisuseError(
            f'"{word}" is not a file here, and more than one job id ends so: {some(sorted(meant))}',
            "type more of the id, or name the file",
        )
    raise MisuseError(
        f'"{word}" is not a file here, and no job id ends so',
        "check the name, or see `jobkit summarise`",
    )


def _job_paths(shelf: Shelf) -> Iterable[str]:
    return (path for path in shelf.paths() if kind_of(path) == "job")
