"""From what each page of a site is made, as a digest: a page whose sources are the same is not made again.

A page of a job that is closed depends on its own file and those that it names, the other stays of its board, what good
boards of its design read, and the bench's own files; on the day only where an entry is dated later. The page of a
design depends on its jobs. All other pages are of the whole book.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache
from hashlib import sha256
from pathlib import PurePosixPath
from posixpath import normpath
from typing import Any

from jobkit.book.cache.code import code_digest, pages_digest
from jobkit.book.shelf.file_kinds import is_private, kind_of
from jobkit.cli.bench.site_plan import Site
from jobkit.jobs.facts import Facts
from jobkit.jobs.job_folder import attachment_path
from jobkit.jobs.serial import serial_key
from jobkit.pages.forms.picture import scaler
from jobkit.pages.site.links import NAMED_LATER
from jobkit.reckon.progress.status import status
from jobkit.reckon.readings.good_boards import good_jobs

_SETTLED = {"done", "sent, unpaid"}
"""Statuses at which the page of a job depends neither on the day nor on what is learned of causes."""

BlobOf = Callable[[str], str]
"""Gives git's id of the content of a file of the book, "" for one that cannot be read."""


class Sources:
    """The sources of the pages of a site."""

    def __init__(self, site: Site) -> None:
        """Ask which content each file of the book has."""
        self._site = site
        paths = [path for path in site.book.shelf.paths() if not is_private(path)]
        self._blobs: Mapping[str, str] = site.book.shelf.blobs(paths)
        self._stays: dict[str, list[Facts]] = defaultdict(list)
        for one in site.facts:
            if one.serial:
                self._stays[serial_key(one.serial)].append(one)
        self._by_file: dict[str, list[Facts]] = defaultdict(list)
        for one in site.facts:
            self._by_file[PurePosixPath(one.path).stem].append(one)
        self._last_days = {one.path: one.last_day for one in site.book.bench.facts}
        self._common = self._of_all_pages()
        self._readings = cache(self._readings_of)
        self.of_the_book = _digest((self._common, str(site.on), sorted(self._blobs.items())))

    def of_job(self, one: Facts, blob_of: BlobOf | None = None) -> str:
        """Digest the sources of the page of a job; `blob_of` looks at the files again."""
        if status(one).word not in _SETTLED:
            return self.of_the_book
        blob = blob_of or self._blob
        stays = [*(self._stays[serial_key(one.serial)] if one.serial else ()), *self._chain(one)]
        return _digest((
            self._common,
            self._blobs.get(f"boards/{one.design}.toml", ""),
            self._readings(one.design),
            [(path, blob(path), self._day_for(path)) for path in (one.path, *(stay.path for stay in stays))],
            [(path, blob(path)) for path in _attached(one)],
        ))  # fmt: skip

    def _chain(self, one: Facts) -> Iterator[Facts]:
        """Yield the earlier jobs that a comeback leads back to, found as the page of a job finds them: by file."""
        seen: set[str] = set()
        before = one.comeback_of
        while before and before not in seen:
            seen.add(before)
            found = self._by_file.get(before, [])
            yield from found
            before = found[0].comeback_of if found else ""

    def of_design(self, design: str) -> str:
        """Digest the sources of the page of a design: its jobs, their logs, and the comebacks of any job."""
        jobs = [one for one in self._site.facts if one.design == design or one.comeback_of]
        files = [path for one in jobs for path in (one.path, *_attached(one))]
        board = self._blobs.get(f"boards/{design}.toml", "")
        return _digest(
            (self._common, board, str(self._site.on), [(path, self._blob(path)) for path in files])
        )

    def with_names(self, sources: str, names: Iterable[str]) -> str:
        """Add which of the names in a page have pages now."""
        return _digest((sources, [(name, name in self._site.links) for name in names])) if sources else ""

    def _blob(self, path: str) -> str:
        found = self._blobs.get(path)
        return found if found is not None else self._site.book.shelf.blobs([path]).get(path, "")

    def _day_for(self, path: str) -> str:
        """Name the day where it cuts off what a job has."""
        on = str(self._site.on)
        return on if self._last_days[path] > on else ""

    def _of_all_pages(self) -> str:
        own = [
            (path, blob)
            for path, blob in self._blobs.items()
            if kind_of(path) in {"bench", "meters", "stock"}
        ]
        odd = [one.id for one in self._site.facts if not NAMED_LATER.fullmatch(one.id)]
        return _digest(
            (code_digest().hex(), pages_digest().hex(), scaler(), sorted(own), self._site.designs, odd)
        )

    def _readings_of(self, design: str) -> str:
        """Digest what usual readings of a design are made of."""
        return _digest([(one.id, one.serial, one.proof) for one in good_jobs(design, self._site.facts)[0]])


def _attached(one: Facts) -> list[str]:
    return [normpath(attachment_path(one.path, name)) for name in one.attachments]


def _digest(parts: Any) -> str:
    return sha256(repr(parts).encode("utf-8", "surrogateescape")).hexdigest()
