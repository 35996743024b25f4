"""Load files from a shelf into records: whatever is wrong with one never stops the others."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence, Set
from functools import partial
from pathlib import PurePosixPath
from typing import TYPE_CHECKING, TypeVar

from jobkit.book.read.batches import batches
from jobkit.book.read.bench import read_meters, read_settings, read_stock
from jobkit.book.read.board import read_design
from jobkit.book.read.job import read_job
from jobkit.book.read.watch import Watch, unwatched
from jobkit.book.schema.gate import Doc
from jobkit.book.schema.trouble import Trouble
from jobkit.book.shelf.contents import ShelfContents
from jobkit.book.shelf.opening import Shelf, ShelfError, kind_of
from jobkit.book.shelf.paths import JobPaths, Paths
from jobkit.book.toml.parse import TomlError, parse
from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design
from jobkit.jobs.job import Job
from jobkit.jobs.settings import Settings
from jobkit.named_tuple import NamedTuple

if TYPE_CHECKING:
    from jobkit.book.cache.store import Cache

FORMAT = 1
"""The newest file format this jobkit knows."""

_Record = TypeVar("_Record")


class Loaded(NamedTuple):
    """A job file: the job as far as it could be read, the troubles, and the content they are found in.

    `job` is None where not even the text could be parsed.
    """

    path: str
    job: Job | None
    troubles: tuple[Trouble, ...]
    content: bytes


class OwnFile(NamedTuple):
    """What could not be read of one of the bench's own files, and the content it is found in."""

    path: str
    troubles: tuple[Trouble, ...]
    content: bytes


class OpenBook(NamedTuple):
    """A book with its own files read; the jobs are loaded as they are asked for.

    `own` lists every own file, with its troubles if it has any; `cache` is the store of what was found before, if any.
    `watch` shows how far long work on the jobs is.
    """

    shelf: Shelf
    bench: Bench
    job_paths: Sequence[str]
    own: tuple[OwnFile, ...]
    cache: Cache | None = None
    watch: Watch = unwatched


def open_book(shelf: Shelf, cache: Cache | None = None) -> OpenBook:
    """Read settings, meters, stock and board files of the book on a shelf."""
    paths = shelf.paths()
    book = open_own(shelf, frozenset(paths), cache)
    return book._replace(job_paths=tuple(path for path in paths if kind_of(path) == "job"))


def open_for_few(shelf: Shelf, cache: Cache | None = None) -> OpenBook:
    """Open a book without listing its files: what is asked for is looked for."""
    return open_own(shelf, Paths(shelf), cache)._replace(job_paths=JobPaths(shelf))


def open_own(shelf: Shelf, paths: Set[str], cache: Cache | None = None) -> OpenBook:
    """Read the bench's own files of a book, of whose files `paths` tells; of jobs none is named."""
    own = _OwnFiles(shelf, shelf.own_paths())
    bench = Bench(
        settings=own.read("bench.toml", read_settings, Settings()),
        meters=own.read("meters.toml", read_meters, {}),
        stock=own.read("stock.toml", read_stock, {}),
        designs={PurePosixPath(design.path).stem: design for design in own.designs()},
        paths=paths,
        contents=ShelfContents(shelf),
    )
    return OpenBook(shelf, bench, (), tuple(own.files), cache)


def load_jobs(shelf: Shelf, paths: Iterable[str]) -> Iterator[Loaded]:
    """Load job files one after the other."""
    for files in batches(shelf.read_many(paths)):
        documents = [_document(content) for _, content in files]
        yield from [
            _read(path, content, *said) for (path, content), said in zip(files, documents, strict=True)
        ]


def load_job(path: str, content: bytes) -> Loaded:
    """Load one job file from its content."""
    return _read(path, content, *document(content))


def _document(content: bytes | ShelfError) -> tuple[Doc | None, tuple[Trouble, ...]]:
    return (None, _unreadable(content)) if isinstance(content, ShelfError) else document(content)


def _read(path: str, content: bytes | ShelfError, doc: Doc | None, troubles: tuple[Trouble, ...]) -> Loaded:
    job = None
    if doc is not None:
        job, troubles = read_job(path, doc)
    return Loaded(path, job, troubles, b"" if isinstance(content, ShelfError) else content)


def document(content: bytes) -> tuple[Doc | None, tuple[Trouble, ...]]:
    """Parse a file; None where it is not TOML or of a format that is not known yet, with the reason."""
    try:
        doc = parse(content)
    except TomlError as error:
        return None, (Trouble((), error.what, error.mend, error.line, error.column),)
    version = doc.get("format")
    if isinstance(version, int) and version > FORMAT:
        message = f"the file has format {version}, this jobkit reads formats up to {FORMAT}"
        return None, (Trouble(("format",), message, "upgrade jobkit"),)
    if isinstance(version, int) and 0 <= version < FORMAT and version is not False:
        message = f"the file has the older format {version}"
        return None, (Trouble(("format",), message, "run `jobkit upgrade`"),)
    return doc, ()


class _OwnFiles:
    def __init__(self, shelf: Shelf, paths: tuple[str, ...]) -> None:
        self._shelf = shelf
        self._paths = paths
        self.files: list[OwnFile] = []

    def read(
        self, path: str, reader: Callable[[Doc], tuple[_Record, tuple[Trouble, ...]]], habit: _Record
    ) -> _Record:
        """Read one own file; a book without it, or one that cannot be parsed, goes by the habit."""
        if path not in self._paths:
            return habit
        try:
            content = self._shelf.read(path)
        except ShelfError as error:
            self.files.append(OwnFile(path, _unreadable(error), b""))
            return habit
        doc, troubles = document(content)
        record = habit
        if doc is not None:
            record, troubles = reader(doc)
        self.files.append(OwnFile(path, troubles, content))
        return record

    def designs(self) -> Iterator[Design]:
        """Read every board file; one that is not TOML is known by its name alone."""
        for path in self._paths:
            if kind_of(path) == "board":
                unread = Design(path, PurePosixPath(path).stem, unread=True)
                yield self.read(path, partial(read_design, path), unread)


def _unreadable(error: ShelfError) -> tuple[Trouble, ...]:
    return (Trouble((), error.message, error.mend),)
