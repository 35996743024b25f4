"""A folder of pages: each written only where it differs, and those that are no longer made are taken away.

A list is kept in the folder, so that no file of another origin is ever replaced or removed. Beside each page it may
have what the page was made from, so that a page whose sources are the same need not be made again.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping
from contextlib import suppress
from hashlib import sha256
from itertools import groupby
from posixpath import basename, dirname
from typing import Any

from jobkit.book.disk.errors import DiskError, MissingError, in_words
from jobkit.book.disk.folder import folder_beneath
from jobkit.book.disk.named import Place
from jobkit.book.disk.reading import read_beneath
from jobkit.book.disk.writing import remove_beneath, remove_leftovers, replacing
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError

LIST = ".jobkit-site.json"
PHOTOS = "photos/"
_LARGEST = 200_000_000


class PageRecord(NamedTuple):
    """From what a page was made: a digest of its sources, and one of the page; "" is like no other.

    `names` are the words in it that are links as soon as there is a page of that name, `photos` digests of the photos
    that it shows, `found` what a search finds it by.
    """

    sources: str = ""
    content: str = ""
    names: tuple[str, ...] = ()
    photos: tuple[str, ...] = ()
    found: tuple[str, ...] = ()


class PhotoRecord(NamedTuple):
    """The file of a scaled photo, and its width and height."""

    file: str
    width: int
    height: int


class SiteFolder:
    """The folder of a site; `kind` is what the site shows, and a folder is of one kind for ever.

    `pages` are the pages that were written before, `photos` the scaled photos by digest of what was scaled.
    """

    def __init__(self, folder: Place, kind: str) -> None:
        """Read the list of what was written before; raises MisuseError, DiskError."""
        self._folder, self._kind = folder, kind
        self.pages: dict[str, PageRecord] = {}
        self.photos: dict[str, PhotoRecord] = {}
        self._read_list()

    def _read_list(self) -> None:
        try:
            found = json.loads(self._read(LIST))
            kind, pages = found["kind"], _page_records(found["pages"])
            photos = {digest: PhotoRecord(*row) for digest, row in dict(found.get("photos", {})).items()}
        except MissingError:
            return
        except (ValueError, KeyError, TypeError) as broken:
            raise MisuseError(f"{self._folder.name}/{LIST} is damaged", "name another folder") from broken
        if kind != self._kind:
            raise MisuseError(
                f"{self._folder.name} holds a {kind} site", f"name another folder for the {self._kind} one"
            )
        self.pages = {page: record for page, record in pages.items() if _is_ours(page, ".html")}
        self.photos = {
            digest: photo
            for digest, photo in photos.items()
            if photo.file.startswith(PHOTOS) and _is_ours(photo.file, ".jpg")
        }

    def begin(self, pages: Collection[str]) -> None:
        """Write down which pages there will be; raises MisuseError where one would replace a file of another origin."""
        for page in sorted(set(pages) - self.pages.keys()):
            with suppress(MissingError):
                self._read(page)
                raise MisuseError(
                    f"{self._folder.name}/{page} was not written by `jobkit site`",
                    "name an empty folder, or a new one",
                )
        self._note(dict.fromkeys(pages, PageRecord()) | self.pages, self.photos)

    def is_as_written(self, page: str) -> bool:
        """Tell whether a page is there as it was written last."""
        with suppress(DiskError):
            return page in self.pages and digest_of(self._read(page)) == self.pages[page].content
        return False

    def has(self, file: str) -> bool:
        """Tell whether a file is there."""
        with suppress(DiskError):
            self._read(file)
            return True
        return False

    def put(self, page: str, content: bytes) -> bool:
        """Write a file where it differs from what is there, and tell whether it did; raises DiskError."""
        with suppress(MissingError):
            if self._read(page) == content:
                return False
        with (
            in_words(self._folder.name, "written"),
            replacing(self._folder.root, f"{self._folder.path}/{page}", tidies=False) as file,
        ):
            file.write(content)
        return True

    def end(self, pages: Mapping[str, PageRecord], photos: Mapping[str, PhotoRecord]) -> int:
        """Take away what was not made this time, and return how many pages that were; raises DiskError."""
        stale = self.pages.keys() - pages.keys()
        kept = {digest: photos[digest] for record in pages.values() for digest in record.photos}
        gone = {photo.file for photo in (*self.photos.values(), *photos.values())}
        gone -= {photo.file for photo in kept.values()}
        for file in (*stale, *gone):
            with suppress(MissingError):
                remove_beneath(self._folder.root, f"{self._folder.path}/{file}")
        self._note(pages, kept)
        self._remove_leftovers({LIST, *pages, *stale, *gone, *(photo.file for photo in kept.values())})
        return len(stale)

    def _remove_leftovers(self, files: Collection[str]) -> None:
        """Take away what a killed process left of these files."""
        by_folder = groupby(sorted(files, key=dirname), key=dirname)
        for above, those in by_folder:
            with (
                suppress(OSError),
                folder_beneath(self._folder.root, f"{self._folder.path}/{above}".rstrip("/")) as opened,
            ):
                remove_leftovers(opened, {basename(one) for one in those})

    def _read(self, page: str) -> bytes:
        return read_beneath(self._folder.root, f"{self._folder.path}/{page}", _LARGEST)

    def _note(self, pages: Mapping[str, PageRecord], photos: Mapping[str, PhotoRecord]) -> None:
        rows = {page: pages[page] if pages[page] != PageRecord() else [] for page in sorted(pages)}
        text = json.dumps(
            {"kind": self._kind, "pages": rows, "photos": dict(sorted(photos.items()))}, indent=0
        )
        self.put(LIST, text.encode())


def digest_of(content: bytes) -> str:
    """Digest a content."""
    return sha256(content).hexdigest()


def _page_records(pages: Any) -> dict[str, PageRecord]:
    """Read the records; a list that has names alone was written by an earlier jobkit."""
    if isinstance(pages, list):
        return {str(page): PageRecord() for page in pages}
    return {page: _record(*row) for page, row in pages.items()}


def _record(
    sources: str = "", content: str = "", names: Any = (), photos: Any = (), found: Any = ()
) -> PageRecord:
    return PageRecord(str(sources), str(content), tuple(names), tuple(photos), tuple(found))


def _is_ours(file: str, ending: str) -> bool:
    return file.endswith(ending) and ".." not in file.split("/")


__all__ = ("LIST", "PHOTOS", "DiskError", "PageRecord", "PhotoRecord", "SiteFolder", "digest_of")
