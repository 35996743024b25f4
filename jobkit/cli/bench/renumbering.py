"""Give one of two jobs that took the same id another one."""

from __future__ import annotations

from functools import partial
from pathlib import Path, PurePosixPath

from jobkit.book.disk.errors import DiskError, in_words
from jobkit.book.disk.writing import copy_new, remove_beneath, replacing, write_new
from jobkit.book.read.load import load_job
from jobkit.book.toml.parse import decode
from jobkit.book.write.new_job import make_job, next_id
from jobkit.book.write.noted import Pen
from jobkit.book.write.renumber import Two, conflict_in, id_in, two_jobs, with_id
from jobkit.cli.bench.writing import Writing, tell
from jobkit.cli.call.streams import say
from jobkit.jobs.attachments import attachments
from jobkit.jobs.job_folder import job_file
from jobkit.units.errors import MisuseError


def renumber(writing: Writing, name: str) -> None:
    """Separate two jobs in one file: one keeps the id, the other gets the next free one.

    The one that other clones have already keeps it (`two_jobs`). A file that is one job moves whole.

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
    folders = _take_along(writing, path, two, new, pen)
    if two.stays is None:
        pen.remove(path, decode(content))
    else:
        pen.update(path, [partial(_instead, new=two.stays)])
    tell(f"{new}: {job_file(new)}" + (f", beside {path}" if two.stays is not None else f", before {path}"))
    if two.goes_ours is not None:
        whose = (
            "our job; other clones have the other one"
            if two.goes_ours
            else "their job; other clones have ours"
        )
        say(f"{new} is {whose} as {old}")
    added = " ".join((path, job_file(new), *folders))
    say(f"next: `git add {added}`; jobs that name {old} (comeback.of, used.from) may mean {new}")


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


def _take_along(writing: Writing, path: str, two: Two, new: str, pen: Pen) -> list[str]:
    """Give the job with the new id the attachments that it names: copied where the other one names them too.

    One of which both sides have a version is told apart like the job itself. Once one has moved, `undo` leaves the
    whole renumbering to git. Gives the folders of attachments that have changed.
    """
    goes = load_job(path, two.goes.encode()).job
    stays = load_job(path, two.stays.encode()).job if two.stays is not None else None
    kept = {one for _, one in attachments(stays)} if stays else set()
    old_folder, new_folder = path.removesuffix(".toml"), job_file(new).removesuffix(".toml")
    has_moved = False
    for name in sorted({one for _, one in attachments(goes)} if goes else ()):
        source = f"{old_folder}/{name}"
        if source not in writing.book.bench.paths:
            continue
        pen.bar()
        has_moved = True
        try:
            _take(writing.root, source, f"{new_folder}/{name}", two, is_kept=name in kept)
        except (DiskError, MisuseError) as error:
            say(f"jobkit: {error}; take {name} along by hand")
    return [old_folder, new_folder] if has_moved else []


def _take(root: Path, source: str, target: str, two: Two, *, is_kept: bool) -> None:
    """Give an attachment its new place; of two versions each goes with its job. Raises DiskError, MisuseError."""
    conflict = conflict_in(root, source)
    if conflict is None:
        copy_new(str(root), source, target)
        if not is_kept:
            remove_beneath(str(root), source)
        return
    goes, stays = conflict if two.goes_ours else reversed(conflict)
    write_new(str(root), target, goes)
    with in_words(source, "written"), replacing(str(root), source) as file:
        file.write(stays)
