"""What is around a book: which of its files git knows, and which copies of the schemas are old."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from jobkit.book import git
from jobkit.book.history.before import state_before
from jobkit.book.schema.schema_files import FILES, schema_path
from jobkit.book.shelf.opening import Index, Revision, Shelf, ShelfError, kind_of
from jobkit.book.shelf.overlay import Overlay
from jobkit.book.shelf.private import private_taken
from jobkit.book.shelf.tree import GitTree
from jobkit.book.shelf.untracked import Untracked
from jobkit.jobs.bench import RepositoryState
from jobkit.jobs.job import Job


def repository_state(root: Path, shelf: Shelf) -> RepositoryState:
    """Look round the book in the folder `root`, as far as it concerns what is on `shelf`.

    A folder without git, or one that git refuses, is looked at without it. Raises GitError for an index or a commit.
    """
    old = tuple(_old_schemas(shelf))
    if isinstance(shelf, Revision):
        return RepositoryState(frozenset(), shelf.private(), old, *state_before(root, shelf))
    if isinstance(shelf, Index):
        untracked, new = Untracked(shelf.repo, shelf.is_listed), shelf.new_attachments()
        return RepositoryState(untracked, shelf.private(), old, *state_before(root, shelf), new)
    try:
        tree = shelf.tree if isinstance(shelf, Overlay) else shelf
        if isinstance(tree, GitTree):
            names, private, new = tree.untracked(), tree.private(), tree.new_attachments()
        else:
            repo = git.open_repo(root)
            names, private = frozenset(git.untracked_names(repo, "jobs")), private_taken(repo, root)
            new = tuple(sorted(path for path in names if kind_of(path) == "attachment"))
        return RepositoryState(names, private, old, *state_before(root, shelf, names), new)
    except git.GitError:
        # The files can be checked all the same; whoever commits will hear from git itself.
        return RepositoryState(old_schemas=old)


def state_for_few(shelf: Index, before: Mapping[str, Job]) -> RepositoryState:
    """Look round as far as concerns a few jobs in git's index, whose earlier states are known; none has gone."""
    untracked = Untracked(shelf.repo, shelf.is_listed)
    old = tuple(_old_schemas(shelf))
    return RepositoryState(untracked, shelf.private(), old, before, attachments=shelf.new_attachments())


def _old_schemas(shelf: Shelf) -> Iterator[str]:
    for kind in FILES:
        path = f"schema/{kind}.schema.json"
        try:
            if _differs(shelf, path, schema_path(kind).read_bytes()):
                yield path
        except ShelfError:
            continue  # a book may do without the copies


def _differs(shelf: Shelf, path: str, own: bytes) -> bool:
    """Tell whether a file differs from jobkit's own, but for the line ends that a checkout may have changed."""
    blob = shelf.blob(path)
    hashing = "sha256" if len(blob) == 64 else "sha1"
    return blob != git.blob_id(own, hashing) and shelf.read(path).replace(b"\r\n", b"\n") != own
