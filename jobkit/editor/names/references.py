"""All places of the book that name the same thing: the jobs that used an item, read a point, are of a client."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator
from functools import partial

from lsprotocol.types import Location, Position

from jobkit.book.shelf.overlay import Overlay
from jobkit.editor.names.designs import Named, meant, name_at
from jobkit.editor.names.named import Role, names_in
from jobkit.editor.names.places import location
from jobkit.editor.names.scope import Scope, holds, scope_of
from jobkit.editor.shown.open_book import BookInEditor
from jobkit.editor.shown.open_file import OpenFile
from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.named_tuple import NamedTuple

_ALIKE: dict[Role, frozenset[Role]] = {
    "job": frozenset(("job", "source")),
    "source": frozenset(("job", "source")),
}


MOST_JOBS = 60
"""Of so many jobs that have a name references are given, the newest first; a rename goes through all."""


class Found(NamedTuple):
    """The places that name something, and whether there may be more in older jobs."""

    places: list[Location]
    is_cut: bool = False


def references(file: OpenFile, book: BookInEditor, position: Position) -> Found:
    """Return the places that name what is named at a position: in the bench's own files, then in jobs, newest first."""
    bench = book.book().bench
    named = name_at(file, bench, file.text.offset(position))
    if named is None:
        return Found([])
    scope = scope_of(named, file, bench)
    places: list[Location] = []
    jobs = 0
    for other in _read(book, [*_own_paths(book.overlay()), *_likely_jobs(named, scope, book)]):
        here = [location(other, one) for one in _names_of(named, scope, other, book, bench)]
        jobs += bool(here) and other.kind == "job"
        if jobs > MOST_JOBS:
            return Found(places, is_cut=True)
        places += here
    return Found(places)


def mentions(named: Named, scope: Scope | None, book: BookInEditor) -> Iterator[tuple[OpenFile, list[Named]]]:
    """Yield each file of the whole book that names the same thing within a scope, with the places."""
    shelf, bench = book.overlay(), book.book().bench
    for other in _read(book, [*_own_paths(shelf), *shelf.jobs_containing(named.name)]):
        found = list(_names_of(named, scope, other, book, bench))
        if found:
            yield other, found


def _names_of(
    named: Named, scope: Scope | None, other: OpenFile, book: BookInEditor, bench: Bench
) -> Iterator[Named]:
    """Yield the names in another file that mean the same thing, within a scope."""
    if named.name not in other.text.text:
        return
    roles = _ALIKE.get(named.role, frozenset((named.role,)))
    for one in names_in(other, named.name):
        if one.name == named.name and not roles.isdisjoint(one.roles):
            found = meant(one, other, bench)
            if found and found.role in roles and holds(scope, found, other, bench, partial(_designs, book)):
                yield found


def _designs(book: BookInEditor) -> dict[str, str]:
    """Return the design of each job by its id."""
    return {one.id: one.design or "" for one in book.facts()}


def _likely_jobs(named: Named, scope: Scope | None, book: BookInEditor) -> list[str]:
    """Return the jobs that may have a name by what the store knows of them, the open ones and the newest first."""
    names = _MAY_NAME.get(named.role)
    facts = [
        one
        for one in book.facts()
        if (names is None or named.name in names(one)) and (scope is None or _may_be_in(scope, one))
    ]
    facts.sort(key=lambda one: (one.received or one.announced, one.id), reverse=True)
    open_ = [path for path in book.files if path.startswith("jobs/")]
    return list(dict.fromkeys([*open_, *(one.path for one in facts)]))


def _may_be_in(scope: Scope, facts: Facts) -> bool:
    return facts.path == scope.only or facts.design in scope.designs or facts.kind in scope.kinds


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


def _own_paths(shelf: Overlay) -> list[str]:
    return [path for path in shelf.own_paths() if not path.startswith("private/")]


def _read(book: BookInEditor, paths: Iterable[str]) -> Iterator[OpenFile]:
    for path, content in book.overlay().read_many(paths):
        if path in book.files:
            yield book.files[path]
        elif isinstance(content, bytes):
            yield OpenFile(book.root, path, content.decode("utf-8", "replace"))
