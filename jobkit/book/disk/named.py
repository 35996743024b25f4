"""Files and folders that the person names, anywhere on the disk.

The person's own links are followed. A link inside a repository or a book came with it: whoever wrote that chose where
it leads, and nothing is written through it.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from pathlib import Path

from jobkit.book.disk.errors import link
from jobkit.named_tuple import NamedTuple

_MARKS = (".git", "bench.toml")
_MOST_LINKS = 40
"""As many as Linux follows; path_resolution(7)."""


class Place(NamedTuple):
    """A file or folder by the `name` that the person gave it: where to begin, and the path below, through no link.

    `is_inside` tells whether it begins at a repository or a book.
    """

    name: str
    root: str
    path: str
    is_inside: bool

    def __str__(self) -> str:
        """Return its absolute path."""
        return f"{self.root}/{self.path}"


def place_named(name: str) -> Place:
    """Return the place that a name means: below the repository or book around it, else below the nearest folder.

    Raises RefusedError for a link that is part of a repository or a book, OSError.
    """
    for one in _links_on(name):
        if _outermost(Path(one).parent):
            raise link(one)
    real = Path(os.path.realpath(name))
    root = _outermost(real.parent)
    found = root or next(one for one in real.parents if one.is_dir())
    return Place(name, str(found), real.relative_to(found).as_posix(), root is not None)


def _outermost(folder: Path) -> Path | None:
    """Return the repository or book around a folder, the outermost where there are several.

    The home folder and what is above it do not count: the person who keeps the home folder in git wrote its links.
    """
    home = Path("~").expanduser()
    below_home = (one for one in (folder, *folder.parents) if not home.is_relative_to(one))
    marked = [one for one in below_home if any(os.path.lexists(one / mark) for mark in _MARKS)]
    return marked[-1] if marked else None


def _links_on(name: str) -> Iterator[str]:
    """Yield each link that is followed on the way to a file, the links in the targets of links too."""
    done = "/" if name.startswith("/") else os.path.realpath(".")
    todo = name.split("/")[::-1]
    left = _MOST_LINKS
    while todo:
        step = todo.pop()
        if step == "..":
            done = os.path.dirname(done)  # noqa: PTH120 - text in, text out
        place = done if step in {"", ".", ".."} else os.path.join(done, step)  # noqa: PTH118
        if not os.path.islink(place):  # noqa: PTH114
            done = place
            continue
        if not left:
            raise OSError(errno.ELOOP, os.strerror(errno.ELOOP), name)
        left -= 1
        yield place
        target = os.readlink(place)  # noqa: PTH115
        done = "/" if target.startswith("/") else done
        todo += target.split("/")[::-1]
