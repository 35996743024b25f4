"""One file found in a long listing of the index, without reading the rest of it.

A listing is what `git ls-files -s -z` prints, with or without the tags of `-v`: `<mode> <blob> <stage>TAB<path>`, each
ended by NUL, in the order of the paths' bytes; git-ls-files(1), gitformat-index(5).
"""

import os
from collections.abc import Iterator

from jobkit.named_tuple import NamedTuple


class Listed(NamedTuple):
    """A file of a listing, its path with the prefix of the book; `stage` is 0 but in an unfinished merge."""

    path: str
    mode: str
    blob: str
    stage: int


def find(listing: bytes, path: str) -> Listed | None:
    """Find a file by its whole path; of a file in several stages the first is found."""
    found = next(find_below(listing, path), None)
    return found if found and found.path == path else None


def find_below(listing: bytes, start: str) -> Iterator[Listed]:
    """Find the files whose whole paths begin with `start`, in order."""
    wanted = _encoded(start)
    if wanted is None:
        return
    at = _first(listing, wanted)
    while at < len(listing):
        tab, end = listing.index(b"\t", at), listing.index(b"\0", at)
        if not listing.startswith(wanted, tab + 1, end):
            return
        yield _read(listing, at, tab, end)
        at = end + 1


def folders_below(listing: bytes, folder: str) -> Iterator[str]:
    r"""Name the folders right below a folder, in order, without going through the files in them.

    >>> listing = b"".join(b"100644 a0 0\t%s\0" % path for path in (b"jobs/2025/a", b"jobs/2026/a", b"jobs/x"))
    >>> list(folders_below(listing, "jobs"))
    ['2025', '2026']
    """
    start = f"{folder}/"
    found = next(find_below(listing, start), None)
    while found and found.path.startswith(start):
        name, slash, _ = found.path[len(start) :].partition("/")
        if slash:
            yield name
        # "0" follows "/": the first file behind all those of a folder.
        found = _at(
            listing, _first(listing, os.fsencode(f"{start}{name}0")) if slash else _behind(listing, found)
        )


def _behind(listing: bytes, found: Listed) -> int:
    start = _first(listing, os.fsencode(found.path))
    return listing.index(b"\0", start) + 1


def _at(listing: bytes, at: int) -> Listed | None:
    if at >= len(listing):
        return None
    return _read(listing, at, listing.index(b"\t", at), listing.index(b"\0", at))


def find_named(listing: bytes, name: str) -> Iterator[Listed]:
    """Find the files with a name, whatever folder they are in, but for the top; in order."""
    encoded = _encoded(name)
    if encoded is None:
        return
    mark = b"/" + encoded + b"\0"
    at = listing.find(mark)
    while at >= 0:
        start = listing.rfind(b"\0", 0, at) + 1
        yield _read(listing, start, listing.index(b"\t", start), at + len(mark) - 1)
        at = listing.find(mark, at + 1)


def _encoded(path: str) -> bytes | None:
    """Write a path as the file system does; None where it has letters that the file system cannot have."""
    try:
        return os.fsencode(path)
    except UnicodeEncodeError:
        return None


def _first(listing: bytes, path: bytes) -> int:
    """Find where the first line begins whose path is not less than `path`, by halves."""
    low, high = 0, len(listing)
    while low < high:
        middle = (low + high) // 2
        start = max(listing.rfind(b"\0", low, middle) + 1, low)
        end = listing.index(b"\0", start)
        if listing[listing.index(b"\t", start) + 1 : end] < path:
            low = end + 1
        else:
            high = start
    return low


def _read(listing: bytes, start: int, tab: int, end: int) -> Listed:
    mode, blob, stage = listing[start:tab].decode("ascii").split(" ")[-3:]
    return Listed(os.fsdecode(listing[tab + 1 : end]), mode, blob, int(stage))
