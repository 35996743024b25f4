"""What changed in the bench's own files: settings, meters, stock and board files, told by key."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any

from jobkit.jobs.history import OwnFileChange
from jobkit.reckon.changes.job_changes import ADDED, CHANGED, REMOVED, Change

Doc = Mapping[str, Any]
_NAMES = ("since", "name", "part", "item", "kind")
"""Keys that tell the tables of a list apart, the most telling first."""


def own_changes(file_change: OwnFileChange) -> tuple[Change, ...]:
    """Tell what changed in one of the bench's own files.

    What belongs to one table is told in one breath: "point VMEM, limit 1: limit 10 Ω .. 70 Ω (was 10 Ω .. 60 Ω)".
    """
    if file_change.went:
        return (Change("file", REMOVED, "removed from the book"),)
    if file_change.after is None:
        return (Change("file", CHANGED, "the file cannot be read as TOML"),)
    if file_change.came:
        return (Change("file", ADDED, "new in the book"),)
    return tuple(_of_documents(file_change.before or {}, file_change.after)) or (
        Change("file", CHANGED, "comments or layout"),
    )


def _of_documents(before: Doc, after: Doc) -> Iterator[Change]:
    old, new = dict(_leaves(before)), dict(_leaves(after))
    told = [(place, _leaf(place, old, new)) for place in {**new, **old} if old.get(place) != new.get(place)]
    told.sort(key=lambda pair: pair[0][:-1])
    for where, group in groupby(told, key=lambda pair: pair[0][:-1]):
        leaves = "; ".join(words for _, words in group)
        yield Change("table", _how(where, old, new), ": ".join(filter(None, (", ".join(where), leaves))))


_Place = tuple[str, ...]


def _leaf(place: _Place, old: Mapping[_Place, str], new: Mapping[_Place, str]) -> str:
    was, now = old.get(place), new.get(place)
    if now is None:
        return f"{place[-1]} {was} removed"
    return f"{place[-1]} {now}" + (f" (was {was})" if was is not None else "")


def _how(where: _Place, old: Mapping[_Place, str], new: Mapping[_Place, str]) -> str:
    if not any(place[:-1] == where for place in old):
        return ADDED
    return CHANGED if any(place[:-1] == where for place in new) else REMOVED


def _leaves(value: Doc, place: _Place = ()) -> Iterator[tuple[_Place, str]]:
    """Yield every value with its place; tables of a list go by their names."""
    for key, inner in value.items():
        if isinstance(inner, Mapping):
            yield from _leaves(inner, (*place, str(key)))
        elif isinstance(inner, Sequence) and inner and all(isinstance(one, Mapping) for one in inner):
            for label, one in _labelled(inner):
                yield from _leaves(one, (*place, f"{key} {label}"))
        else:
            yield (*place, str(key)), _said(inner)


def _labelled(tables: Sequence[Doc]) -> Iterator[tuple[str, Doc]]:
    """Give each table of a list a label of its own: its name, else its number."""
    names = [next((str(one[key]) for key in _NAMES if key in one), "") for one in tables]
    for number, (name, one) in enumerate(zip(names, tables, strict=True), 1):
        yield (name if name and names.count(name) == 1 else str(number)), one


def _said(value: Any) -> str:
    if isinstance(value, str):
        return value
    if isinstance(value, list):
        return ", ".join(map(_said, value)) or "nothing"
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value)
