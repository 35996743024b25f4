"""All that jobkit asks of git, and the only place that starts a process.

Calls only read (but for `config`, which sets up a repository, and `fast_import`, which makes one), split names at NUL,
run in a cleaned environment and fail with a `GitError` that says what, where and how to fix. A repository's own
settings are not obeyed where they could start a program.
"""

from jobkit.book.git.blobs import Unread, begin_blobs, blob_id, read_blobs
from jobkit.book.git.call import GitError, GitMissingError, GitStuckError, NotInGitError, UnknownRevisionError
from jobkit.book.git.index_search import find as find_listed
from jobkit.book.git.index_search import find_below, find_named
from jobkit.book.git.listing import (
    ChangedFile,
    GitEntry,
    changed_names,
    entries,
    files_between,
    index_entries,
    new_names,
    staged_files,
    taken_names,
    tree_entries,
    untracked_names,
    worktree_files,
)
from jobkit.book.git.other_sides import is_merging, published_blobs
from jobkit.book.git.path_history import blobs_up_to
from jobkit.book.git.repo import CACHE_FOLDER, Repo, open_repo, resolve
from jobkit.book.git.staged import StagedFile, StagedQuery
from jobkit.book.git.worktree_status import WorktreeQuery, WorktreeStatus

__all__ = [
    "CACHE_FOLDER",
    "ChangedFile",
    "GitEntry",
    "GitError",
    "GitMissingError",
    "GitStuckError",
    "NotInGitError",
    "Repo",
    "StagedFile",
    "StagedQuery",
    "UnknownRevisionError",
    "Unread",
    "WorktreeQuery",
    "WorktreeStatus",
    "begin_blobs",
    "blob_id",
    "blobs_up_to",
    "changed_names",
    "entries",
    "files_between",
    "find_below",
    "find_listed",
    "find_named",
    "index_entries",
    "is_merging",
    "new_names",
    "open_repo",
    "published_blobs",
    "read_blobs",
    "resolve",
    "staged_files",
    "taken_names",
    "tree_entries",
    "untracked_names",
    "worktree_files",
]
