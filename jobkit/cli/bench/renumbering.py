"""Give one of two jobs that took the same id another one."""

from __future__ import annotations

import shutil
from functools import partial
from pathlib import Path, PurePosixPath

from jobkit.book.read.load import load_job
from jobkit.book.toml.parse import decode
from jobkit.book.write.new_job import job_file, make_job, next_id
from jobkit.book.write.noted import Pen
from jobkit.book.write.renumber import Two, id_in, two_jobs, with_id
from jobkit.cli.bench.writing import Writing, tell
from jobkit.cli.call.streams import say
from jobkit.jobs.attachments import attachments
from jobkit.units.errors import MisuseError


def renumber(writing: Writing, name: str) -> None:
    """Part two jobs in one file: ours keeps the id, theirs gets the next free one. A file that is one job moves whole.

    The new file is made before the old one is touched, so that nothing is lost whatever happens between. Raises
    MisuseError.
    """
    path = _in_book(writing.root, name)
    content = writing.book.shelf.read(path)
    two = two_jobs(writing.root, path, content)
    old = id_in(two.goes, path)
    if two.stays is None and not _is_twice(writing, path):
        raise MisuseError(f"{path} is the only job with its id", "nothing to change")
    first = next_id(writing.book.bench.paths, old[:1], int(f"20{old[1:3]}"))
    pen = writing.pen(f"{old} renumbered")
    new = make_job(first, lambda one: with_id(two.goes, one), pen.create)
    _take_along(writing.root, path, two, new, pen)
    if two.stays is None:
        pen.remove(path, decode(content))
    else:
        pen.update(path, [partial(_instead, new=two.stays)])
    tell(f"{new}: {job_file(new)}" + (f", beside {path}" if two.stays is not None else f", before {path}"))
    say(
        f"next: `git add {path} {job_file(new)}`; jobs that name {old} (comeback.of, used.from) may mean {new}"
    )


def _instead(_old: str, new: str) -> str:
    return new


def _is_twice(writing: Writing, path: str) -> bool:
    stem = PurePosixPath(path).stem
    return any(PurePosixPath(other).stem == stem for other in writing.book.job_paths if other != path)


def _in_book(root: Path, name: str) -> str:
    place = Path(name).resolve()
    if not place.is_relative_to(root) or not place.is_file():
        raise MisuseError(f"{name} is not a file of the book {root}", "name a job file of the book")
    return place.relative_to(root).as_posix()


def _take_along(root: Path, path: str, two: Two, new: str, pen: Pen) -> None:
    """Give the job with the new id the attachments that it names: copied where the other one names them too.

    Once one has moved, `undo` leaves the whole renumbering to git.
    """
    goes = load_job(path, two.goes.encode()).job
    stays = load_job(path, two.stays.encode()).job if two.stays is not None else None
    kept = {one for _, one in attachments(stays)} if stays else set()
    old_folder = root / PurePosixPath(path).with_suffix("")
    new_folder = root / PurePosixPath(job_file(new)).with_suffix("")
    for name in {one for _, one in attachments(goes)} if goes else ():
        source, target = old_folder / name, new_folder / name
        if (
            not source.is_file()
            or not source.resolve().is_relative_to(old_folder.resolve())
            or target.exists()
        ):
            continue
        pen.bar()
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(source, target)
        if name not in kept:
            source.unlink()
