"""Which text of the book a call reads."""

from __future__ import annotations

from pathlib import Path

from jobkit.book import git
from jobkit.book.shelf.opening import Index, Revision, Shelf, Tree
from jobkit.cli.call.cache_switch import is_off
from jobkit.units.errors import MisuseError


def shelf_of(root: Path, *, staged: bool = False, rev: str | None = None) -> Shelf:
    """Open the shelf asked for: a revision, the index, or the working tree."""
    if rev and staged:
        raise MisuseError("--staged and --rev exclude each other", "leave one of them out")
    if rev or staged:
        return Revision(root, rev) if rev else Index(root)
    return tree_of(root)


def tree_of(root: Path) -> Tree:
    """Open the working tree, with git's help where the book is in git and answers may be kept."""
    query = None if is_off() else _query(root)
    if query is None:
        return Tree(root)
    # Loaded while git is at work.
    from jobkit.book.shelf.tree import GitTree

    return GitTree(root, query)


def _query(root: Path) -> git.WorktreeQuery | None:
    try:
        return git.WorktreeQuery(git.open_repo(root))
    except git.GitError:
        return None  # a folder of files is a book too; whoever commits will hear from git itself
