"""Bring a file that a person names into the folder of its job."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

from jobkit.book.disk.errors import DiskError, MissingError, RefusedError
from jobkit.book.disk.reading import open_beneath, open_named
from jobkit.book.disk.writing import remove_beneath, remove_empty_folder, replacing
from jobkit.cli.bench.writing import Writing
from jobkit.jobs.job import Job
from jobkit.jobs.job_folder import attachment_path
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError

_PIECE = 1 << 20


class Attached(NamedTuple):
    """A file in the folder of a job: its name there, its path in the book, and whether it was copied there just now."""

    name: str
    path: str
    copied: bool = False


@contextmanager
def attached(writing: Writing, job: Job, named: str) -> Iterator[Attached]:
    """Give the file of a job's folder that is meant; one from elsewhere is copied there. Raises MisuseError.

    A file of that name in the job's folder is meant before any other. A copy never takes the place of another file, and
    is taken away again if the block fails, and so is a folder that was made for it.
    """
    with _no_empty_folder(writing.root, job.path.removesuffix(".toml")):
        found = _found(writing.root, job, named)
        try:
            yield found
        except BaseException:
            if found.copied:
                with suppress(DiskError):
                    remove_beneath(str(writing.root), found.path)
            raise


def with_file(writing: Writing, file: Attached) -> Writing:
    """Return a writing that knows a file which was copied after it was opened."""
    bench = writing.book.bench
    return writing._replace(book=writing.book._replace(bench=bench._replace(paths={*bench.paths, file.path})))


@contextmanager
def _no_empty_folder(root: Path, folder: str) -> Iterator[None]:
    """Take away a folder that the block made and left empty, if the block fails."""
    was_there = (root / folder).exists()
    try:
        yield
    except BaseException:
        if not was_there:
            with suppress(DiskError):
                remove_empty_folder(str(root), folder)
        raise


def _found(root: Path, job: Job, named: str) -> Attached:
    path = attachment_path(job.path, named)
    if Path(named).name == named:
        with suppress(MissingError):
            open_beneath(str(root), path).close()
            return Attached(named, path)
    return _copied(root, job, Path(named))


def _copied(root: Path, job: Job, source: Path) -> Attached:
    folder = job.path.removesuffix(".toml")
    if not source.is_file():
        message = f"{source} is a folder" if source.is_dir() else f"there is no file {source}"
        raise MisuseError(message, f"name a file in {folder}/, or the path of one that is to be copied there")
    path = attachment_path(job.path, source.name)
    file, _ = open_named(str(source))
    try:
        with file:
            return Attached(source.name, path, _copy(root, path, file))
    except RefusedError as fault:
        raise MisuseError(fault.what, fault.fix) from fault
    except OSError as fault:
        reason = (fault.strerror or str(fault)).lower()
        raise MisuseError(
            f"{source} cannot be copied to {folder}/: {reason}", "copy it there yourself"
        ) from fault


def _copy(root: Path, path: str, file: IO[bytes]) -> bool:
    """Copy a file to a path of the book, and say whether that was needed; raises MisuseError if another is there."""
    try:
        there = open_beneath(str(root), path)
    except MissingError:
        with replacing(str(root), path) as copy:
            shutil.copyfileobj(file, copy, _PIECE)
        return True
    with there:
        if not _are_alike(file, there):
            raise MisuseError(
                f"there is another file {path}",
                "give one of them another name, or take it away if no entry names it",
            )
    return False


def _are_alike(one: IO[bytes], other: IO[bytes]) -> bool:
    while True:
        piece, same = one.read(_PIECE), other.read(_PIECE)
        if piece != same or not piece:
            return piece == same
