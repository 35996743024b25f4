"""Which code answers: a digest of all that has a say in what is found, so that an upgrade never meets old answers."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator
from functools import cache
from hashlib import sha1
from importlib.machinery import PathFinder
from pathlib import Path
from typing import Any

from jobkit.book.schema.schema_files import schema_path

_PACKAGE = Path(__file__).parent.parent.parent
_ROOMS = ("units", "jobs", "book", "reckon", "lint")
_PAGE_ROOMS = ("pages", "cli")
_LIBRARIES = ("rtoml", "jsonschema_rs", "jsonschema")


@cache
def code_digest() -> bytes:
    """Digest the modules that read and judge, by content, the schemas, and the libraries that parse and validate."""
    digest = sha1(sys.version.encode(), usedforsecurity=False)
    for path in _files():
        _add(digest, path)
    for name in _LIBRARIES:
        digest.update(repr(_stamp(name)).encode())
    return digest.digest()


@cache
def pages_digest() -> bytes:
    """Digest the modules and templates that draw pages, by content."""
    digest = sha1(usedforsecurity=False)
    for path in _beneath(_PAGE_ROOMS, (".py", ".html", ".css")):
        _add(digest, path)
    return digest.digest()


def _add(digest: Any, path: str) -> None:
    """Add a file to a digest; two installations of one version are one."""
    digest.update(path.rpartition(_PACKAGE.name)[2].encode())
    digest.update(_content(path))


def _files() -> Iterator[str]:
    """Yield the modules and schemas, sorted."""
    yield from _beneath(_ROOMS, (".py",))
    yield from sorted(str(path) for path in schema_path("job").parent.glob("*.schema.json"))


def _beneath(rooms: Iterable[str], endings: tuple[str, ...]) -> Iterator[str]:
    for room in rooms:
        for folder, folders, names in os.walk(_PACKAGE / room):
            folders[:] = sorted(name for name in folders if name != "__pycache__")
            yield from (f"{folder}/{name}" for name in sorted(names) if name.endswith(endings))


def _content(path: str) -> bytes:
    with open(path, "rb", buffering=0) as file:  # noqa: PTH123 - some two hundred times at every start
        return file.read()


def _stamp(name: str) -> tuple[tuple[str, int, int], ...]:
    """Tell one build of a library from another by its files' sizes and times."""
    found = PathFinder.find_spec(name)
    if found is None or not found.submodule_search_locations:
        return ()
    with os.scandir(found.submodule_search_locations[0]) as entries:
        files = [entry for entry in entries if entry.is_file()]
        return tuple(sorted((one.name, one.stat().st_size, one.stat().st_mtime_ns) for one in files))
