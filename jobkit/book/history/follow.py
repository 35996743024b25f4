"""Follow the file of a job back through the log: through renames, merges, and names that once meant another job.

Git's own following of renames walks along one line and goes by how alike two files look, and so loses a job, or picks
up another, where two benches worked side by side.
"""

from __future__ import annotations

import os
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import groupby
from typing import Protocol

from jobkit.book.git.log import CommitStep, Touched
from jobkit.named_tuple import NamedTuple

_JOB_FILE = re.compile(r"(?:^|/)jobs/[^/]+/[^/]+\.toml$")

Names = frozenset[bytes]


class Knows(Protocol):
    """Tells jobs apart by what they are."""

    def is_same(self, was: str, blob: str) -> bool:
        """Tell whether two contents of one name are the same job."""

    def pick(self, blob: str, candidates: Sequence[Touched]) -> Touched | None:
        """Pick the file that was the same job before."""


class Passage(NamedTuple):
    """The file between a commit and one of its parents, as paths and blobs; "" where there was, or is, no file.

    `attached` are the files in the job's own folder that came, changed or went, named relative to it.
    """

    was_path: str
    path: str
    was: str
    blob: str
    attached: tuple[Touched, ...] = ()


class TouchingCommit(NamedTuple):
    """A commit that touched the job, and how it differs from each of its parents.

    A merge that left the job as one of its parents had it differs only from the others.
    """

    step: CommitStep
    passages: tuple[Passage, ...]

    @property
    def took_a_side(self) -> bool:
        """Tell whether the commit is a merge that left the job as one of its parents had it."""
        return len(self.passages) < len(self.step.parents)


def follow(steps: Iterable[CommitStep], path: str, jobs: Knows) -> Iterator[TouchingCommit]:
    """Yield the commits that touched the job which lies at `path` in the first one, in the order of `steps`.

    A merge that left the job as one of its parents had it is among them: it did nothing, or took a side.
    """
    names: defaultdict[str, Names] = defaultdict(frozenset)
    start = frozenset((os.fsencode(path),))
    for commit, group in groupby(steps, key=lambda step: step.commit):
        compared = list(group)
        here = names.pop(commit, start)
        passages = []
        for step in compared:
            passage, before = _passage(step, here, jobs)
            names[step.parent] |= before
            passages.append(passage)
        parents = compared[0].parents
        for parent in {*parents} - {step.parent for step in compared}:
            names[parent] |= here
        found = tuple(passage for passage in passages if passage)
        if found:
            yield TouchingCommit(compared[0], found)


def _passage(step: CommitStep, here: Names, jobs: Knows) -> tuple[Passage | None, Names]:
    """Tell what a step did to the job, and under which names it goes before it."""
    if here.isdisjoint(step.paths) and not any(path.startswith(_folders(here)) for path in step.paths):
        return None, here
    touched = list(step.touched())
    passage, before = _way(step, touched, here, jobs)
    attached = tuple(_attached(touched, here | before))
    if passage is None and attached:
        name = os.fsdecode(min(here))
        passage = Passage(name, name, "", "")
    return passage and passage._replace(attached=attached), before


def _way(step: CommitStep, touched: list[Touched], here: Names, jobs: Knows) -> tuple[Passage | None, Names]:
    own = [one for one in touched if os.fsencode(one.path) in here and (one.was or one.blob)]
    if not own:
        return None, here
    one = next((one for one in own if one.blob), own[0])
    if not one.blob:
        return Passage(one.path, "", one.was, ""), here
    is_merge = len(step.parents) > 1
    if one.was and (not is_merge or jobs.is_same(one.was, one.blob)):
        return Passage(one.path, one.path, one.was, one.blob), here
    # In a merge the earlier name may be taken by another job meanwhile; elsewhere it is gone.
    left = [other for other in touched if other is not one and other.was and (is_merge or not other.blob)]
    source = jobs.pick(one.blob, [other for other in left if _JOB_FILE.search(other.path)])
    if source:
        return Passage(source.path, one.path, source.was, one.blob), frozenset((os.fsencode(source.path),))
    return Passage("", one.path, "", one.blob), frozenset() if one.was else here


def _attached(touched: list[Touched], names: Names) -> Iterator[Touched]:
    """Yield the files in the job's folder, one that only moved along with it left out."""
    folders = tuple(map(os.fsdecode, _folders(names)))
    found: dict[str, Touched] = {}
    for one in touched:
        folder = next((folder for folder in folders if one.path.startswith(folder)), None)
        if folder is not None:
            name = one.path.removeprefix(folder)
            known = found.get(name, Touched(name, "", ""))
            found[name] = Touched(name, one.was or known.was, one.blob or known.blob)
    yield from (one for one in found.values() if one.was != one.blob)


@lru_cache(maxsize=256)
def _folders(names: Names) -> tuple[bytes, ...]:
    return tuple(name.removesuffix(b".toml") + b"/" for name in sorted(names))
