"""All places of the book that name the same thing: the jobs that used an item, read a point, are of a client."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator
from typing import NamedTuple

from lsprotocol.types import Location, Position

from jobkit.book.shelf.overlay import Overlay
from jobkit.editor.named import Named, Role, name_at, names_in
from jobkit.editor.open_book import BookInEditor
from jobkit.editor.open_file import OpenFile
from jobkit.editor.places import location
from jobkit.jobs.facts import Facts

_OF_DESIGN = frozenset(("point", "part", "rail", "channel", "check", "cause"))
"""Names that mean something within one design only."""
_ALIKE: dict[Role, frozenset[Role]] = {
    "job": frozenset(("job", "source")),
    "source": frozenset(("job", "source")),
}


MOST_JOBS = 100
"""Of so many jobs that have a name references are given, the newest first; a rename goes through all."""


class Found(NamedTuple):
    """The places that name something, and whether there may be more in older jobs."""

    places: list[Location]
    is_cut: bool = False


def references(file: OpenFile, book: BookInEditor, position: Position) -> Found:
    """Return the places that name what is named at a position: in the bench's own files, then in jobs, newest first."""
    named = name_at(file, file.text.offset(position))
    if named is None:
        return Found([])
    places: list[Location] = []
    jobs = 0
    for other in _read(book, [*_own_paths(book.overlay()), *_likely_jobs(named, file, book)]):
        here = [location(other, one) for one in _names_of(named, file, other)]
        jobs += bool(here) and other.kind == "job"
        if jobs > MOST_JOBS:
            return Found(places, is_cut=True)
        places += here
    return Found(places)


def mentions(named: Named, file: OpenFile, book: BookInEditor) -> Iterator[tuple[OpenFile, Named]]:
    """Yield each place of the whole book that names the same thing as `named` in `file`, with its file."""
    shelf = book.overlay()
    for other in _read(book, [*_own_paths(shelf), *shelf.jobs_containing(named.name)]):
        yield from ((other, one) for one in _names_of(named, file, other))


def _names_of(named: Named, file: OpenFile, other: OpenFile) -> Iterator[Named]:
    """Yield the names in another file that mean what `named` means in `file`."""
    if named.name not in other.text.text:
        return
    design = design_name(file) if named.role in _OF_DESIGN else None
    if design is not None and design_name(other) not in {design, None}:
        return
    roles = _ALIKE.get(named.role, frozenset((named.role,)))
    yield from (one for one in names_in(other, named.name) if one.role in roles and one.name == named.name)


def _likely_jobs(named: Named, file: OpenFile, book: BookInEditor) -> list[str]:
    """Return the jobs that may have a name by what the store knows of them, the open ones and the newest first."""
    names = _MAY_NAME.get(named.role)
    design = design_name(file) if named.role in _OF_DESIGN else None
    facts = [
        one
        for one in book.facts()
        if (names is None or named.name in names(one)) and (design is None or one.design == design)
    ]
    facts.sort(key=lambda one: (one.received or one.announced, one.id), reverse=True)
    open_ = [path for path in book.files if path.startswith("jobs/")]
    return list(dict.fromkeys([*open_, *(one.path for one in facts)]))


_MAY_NAME: dict[Role, Callable[[Facts], Container[str]]] = {
    "client": lambda one: (one.client,),
    "design": lambda one: (one.design,),
    "serial": lambda one: (one.serial,),
    "kind": lambda one: (one.kind,),
    "item": lambda one: {used.item for used in one.used},
    "lot": lambda one: {used.lot for used in one.used},
    "run": lambda one: {trial.run for trial in one.trials},
    "rule": lambda one: {rule for rule, _ in one.waives},
    "job": lambda one: {one.comeback_of, *(used.source for used in one.used)},
    "source": lambda one: {one.comeback_of, *(used.source for used in one.used)},
}
"""The names in a job, by role, where the facts of it hold them all."""


def design_name(file: OpenFile) -> str | None:
    """Return the name of the design that a file is about; None for one that is about no design."""
    if file.kind == "board":
        return file.path.rpartition("/")[2].removesuffix(".toml")
    if file.kind != "job":
        return None
    span = file.text.outline.spans.get(("board", "design"))
    return str(file.text.value(span)) if span else ""


def _own_paths(shelf: Overlay) -> list[str]:
    return [path for path in shelf.own_paths() if not path.startswith("private/")]


def _read(book: BookInEditor, paths: Iterable[str]) -> Iterator[OpenFile]:
    for path, content in book.overlay().read_many(paths):
        if path in book.files:
            yield book.files[path]
        elif isinstance(content, bytes):
            yield OpenFile(book.root, path, content.decode("utf-8", "replace"))
