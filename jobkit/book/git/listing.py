"""Which files git knows below a book: in the index, in a commit, staged, changed, new.

All paths are relative to the book's folder, with "/" between the parts.
"""

import os
from collections.abc import Iterable, Iterator

from jobkit.book.git import call
from jobkit.book.git.repo import Repo
from jobkit.named_tuple import NamedTuple


class GitEntry(NamedTuple):
    """One file as git stores it.

    `mode` is git's octal text: "100644", "100755" a file, "120000" a symbolic link, "160000" a submodule.
    `stage` is 0; in an unfinished merge 1, 2, 3 for base, ours and theirs.
    """

    path: str
    mode: str
    blob: str
    stage: int = 0


def index_entries(repo: Repo) -> tuple[GitEntry, ...]:
    """Return the files in the index; GIT_INDEX_FILE is obeyed, as a hook needs. Raises GitError."""
    return entries(repo, repo.ask("ls-files", "-s", "-z", *_below(repo)))


def tree_entries(repo: Repo, commit: str) -> tuple[GitEntry, ...]:
    """Return the files in a commit (id from `resolve`), none where it lacks the folder; raises GitError."""
    return entries(repo, repo.ask("ls-tree", "-r", "-z", "--full-tree", commit, *_below(repo)))


def entries(repo: Repo, listing: bytes) -> tuple[GitEntry, ...]:
    """Read a listing of the files in the index (`git ls-files -s -z`) or in a commit (`git ls-tree -r -z`)."""
    return tuple(_entries(repo, listing))


def _entries(repo: Repo, listing: bytes) -> Iterator[GitEntry]:
    """Read `<mode> <blob> <stage>TAB<path>` and `<mode> <type> <blob>TAB<path>`."""
    skip = len(repo.prefix)
    for record in _split(listing):
        head, _, path = record.partition("\t")
        mode, second, third = head.split(" ")
        if len(third) == 1:
            yield GitEntry(path[skip:], mode, second, int(third))
        else:
            yield GitEntry(path[skip:], mode, third)


class ChangedFile(NamedTuple):
    """A file that differs between two states, and its blob in the first; "" where it is not there, or no plain file."""

    path: str
    was: str


def staged_files(repo: Repo) -> tuple[ChangedFile, ...]:
    """Return the files in which the index differs from the last commit, as that has them. Raises GitError."""
    return changed_files(repo, repo.ask("diff", "--cached", *RAW, *_below(repo)))


def worktree_files(repo: Repo) -> tuple[ChangedFile, ...]:
    """Return the files in which the working tree may differ from the index, as that has them. Raises GitError."""
    words = ["diff-files", "--raw", "-z", "--no-renames", "--no-abbrev", "-O/dev/null", *_below(repo)]
    return changed_files(repo, call.ask(words, repo.top, {**repo.environment(), **_filters_off(repo)}))


def files_between(repo: Repo, before: str, after: str) -> tuple[ChangedFile, ...]:
    """Return the files in which two commits (ids from `resolve`) differ, as the first has them. Raises GitError."""
    return changed_files(repo, repo.ask("diff", *RAW, before, after, *_below(repo)))


# Settings of the repository that would change the answer or start a program.
_PLAIN = ("--no-relative", "--no-ext-diff", "--no-textconv", "-O/dev/null")
RAW = ("--raw", "-z", "--no-renames", "--no-abbrev", "--ignore-submodules=none", *_PLAIN)


def changed_files(repo: Repo, listing: bytes) -> tuple[ChangedFile, ...]:
    """Read what git prints with --raw and -z: `:<mode> <mode> <blob> <blob> <status>`, path, and so on."""
    words = iter(_split(listing))
    skip = len(repo.prefix)
    found = {}
    for record, path in zip(words, words, strict=True):
        mode, _, was, _, _ = record.split(" ")
        found[path[skip:]] = was if mode.startswith(":100") else ""
    return tuple(ChangedFile(path, was) for path, was in found.items())


def changed_names(repo: Repo) -> tuple[str, ...]:
    """Return the tracked files whose working copy is gone or may differ from the index, each once.

    A file may be named without need (its clean filter is not run). Files that the index marks as assumed
    unchanged are never named. Raises GitError.
    """
    listing = call.ask(
        ["diff-files", "--name-only", "-z", "--no-renames", "-O/dev/null", *_below(repo)],
        repo.top,
        {**repo.environment(), **_filters_off(repo)},
    )
    return tuple(dict.fromkeys(_names(repo, listing)))


def new_names(repo: Repo) -> tuple[str, ...]:
    """Return the files that are neither tracked nor ignored. Raises GitError."""
    return _names(repo, repo.ask("ls-files", "-o", "--exclude-standard", "-z", *_below(repo)))


def untracked_names(repo: Repo, folder: str) -> tuple[str, ...]:
    """Return the files below a folder of the book that are not in the index, ignored ones too. Raises GitError."""
    return _names(repo, repo.ask("ls-files", "-o", "-z", "--", repo.prefix + folder))


def taken_names(repo: Repo, names: Iterable[str]) -> tuple[str, ...]:
    """Return the files named, or below folders named, that are in the index or that `git add` would take.

    Raises GitError.
    """
    places = [f"{repo.prefix}{name}" for name in names]
    return _names(repo, repo.ask("ls-files", "-c", "-o", "--exclude-standard", "-z", "--", *places))


def _filters_off(repo: Repo) -> dict[str, str]:
    pattern = r"^filter\..*\.(clean|process|required)$"
    # Status 1 means that no setting fits.
    _, listing, _ = call.try_asking(
        ["config", "-z", "--name-only", "--get-regexp", pattern], repo.top, repo.environment()
    )
    return call.filters_off(_split(listing))


def _below(repo: Repo) -> tuple[str, ...]:
    return ("--", repo.prefix) if repo.prefix else ()


def _names(repo: Repo, listing: bytes) -> tuple[str, ...]:
    skip = len(repo.prefix)
    return tuple(name[skip:] for name in _split(listing))


def _split(listing: bytes) -> list[str]:
    return os.fsdecode(listing).split("\0")[:-1]
