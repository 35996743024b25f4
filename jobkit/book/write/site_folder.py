"""A folder of pages: each written only where it differs, and those that are no longer made are taken away.

A list of the pages is kept in the folder, so that no file of another origin is ever replaced or removed.
"""

from __future__ import annotations

import json
from collections.abc import Collection
from contextlib import suppress

from jobkit.book.disk.errors import DiskError, MissingError, in_words
from jobkit.book.disk.named import Place
from jobkit.book.disk.reading import read_beneath
from jobkit.book.disk.writing import remove_beneath, replacing
from jobkit.units.errors import MisuseError

LIST = ".jobkit-site.json"
_LARGEST = 200_000_000


class SiteFolder:
    """The folder of a site; `kind` is what the site shows, and a folder is of one kind for ever."""

    def __init__(self, folder: Place, kind: str) -> None:
        """Read the list of the pages that were written before; raises MisuseError, DiskError."""
        self._folder, self._kind = folder, kind
        self._before = frozenset(self._listed())
        self.written = self.same = 0

    def _listed(self) -> list[str]:
        try:
            found = json.loads(self._read(LIST))
            kind, pages = found["kind"], [str(page) for page in found["pages"]]
        except MissingError:
            return []
        except (ValueError, KeyError, TypeError) as broken:
            raise MisuseError(f"{self._folder.name}/{LIST} is damaged", "name another folder") from broken
        if kind != self._kind:
            raise MisuseError(
                f"{self._folder.name} holds a {kind} site", f"name another folder for the {self._kind} one"
            )
        return [page for page in pages if page.endswith(".html") and ".." not in page.split("/")]

    def begin(self, pages: Collection[str]) -> None:
        """Write down which pages there will be; raises MisuseError where one would replace a file of another origin."""
        for page in sorted(set(pages) - self._before):
            with suppress(MissingError):
                self._read(page)
                raise MisuseError(
                    f"{self._folder.name}/{page} was not written by `jobkit site`",
                    "name an empty folder, or a new one",
                )
        self._note({*pages, *self._before})

    def put(self, page: str, text: str) -> None:
        """Write a page where it differs from what is there; raises DiskError."""
        content = text.encode("utf-8", "replace")
        with suppress(MissingError):
            if self._read(page) == content:
                self.same += 1
                return
        with (
            in_words(self._folder.name, "written"),
            replacing(self._folder.root, f"{self._folder.path}/{page}") as file,
        ):
            file.write(content)
        self.written += 1

    def end(self, pages: Collection[str]) -> int:
        """Take away the pages that were not made this time, and return how many; raises DiskError."""
        stale = self._before - set(pages)
        for page in stale:
            with suppress(MissingError):
                remove_beneath(self._folder.root, f"{self._folder.path}/{page}")
        self._note(pages)
        return len(stale)

    def _read(self, page: str) -> bytes:
        return read_beneath(self._folder.root, f"{self._folder.path}/{page}", _LARGEST)

    def _note(self, pages: Collection[str]) -> None:
        text = json.dumps({"kind": self._kind, "pages": sorted(pages)}, indent=0)
        self.put(LIST, text)
        self.written = self.same = 0


__all__ = ("LIST", "DiskError", "SiteFolder")
