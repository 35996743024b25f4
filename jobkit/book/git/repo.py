"""Which repository a folder belongs to, and which commit a name means."""

import os
from pathlib import Path

from jobkit.book.disk.errors import DiskError
from jobkit.book.disk.reading import read_beneath
from jobkit.book.git import call
from jobkit.named_tuple import NamedTuple


class Repo(NamedTuple):
    """A folder seen from the git repository around it.

    `top` is the top of the working tree; `prefix` the folder below it, "" or ending in "/"; `git_dir` this
    working tree's own git directory, `common_dir` the one shared by all linked worktrees. `hashing` is "sha1"
    or "sha256". All are absolute, without symbolic links.
    """

    top: str
    prefix: str
    git_dir: str
    common_dir: str
    hashing: str
    shallow: bool

    def environment(self) -> dict[str, str]:
        """Return what tells git that this repository is meant, whatever the caller's environment says."""
        chosen = {"GIT_DIR": self.git_dir, "GIT_WORK_TREE": self.top}
        index = os.environ.get("GIT_INDEX_FILE", "")
        if index and _is_foreign(index, self.git_dir):
            chosen["GIT_INDEX_FILE"] = str(Path(self.git_dir) / "index")
        return chosen

    def ask(self, *arguments: str) -> bytes:
        """Return what git prints, run at the top; raises GitError."""
        return call.ask(arguments, self.top, self.environment())


CACHE_FOLDER = "jobkit"
"""Where jobkit may keep what it can work out again, below the shared git directory; it may not exist yet.

Blob ids mean the same in every linked worktree.
"""


def open_repo(folder: str | os.PathLike[str]) -> Repo:
    """Return the repository that `folder` is in, found by walking up as git does.

    Only where that finds none, GIT_DIR and GIT_WORK_TREE are obeyed. Raises NotInGitError, GitMissingError,
    and GitError where git refuses the repository (another owner: git's own advice is passed on).
    """
    real = os.path.realpath(folder)
    if not Path(real).is_dir():
        raise call.NotInGitError(f"{folder} is not a folder", "name the folder that holds bench.toml")
    try:
        return _discover(real, {})
    except call.NotInGitError:
        named = {name: os.environ[name] for name in ("GIT_DIR", "GIT_WORK_TREE") if name in os.environ}
        if not named:
            raise
        return _discover(real, {name: str(Path(value).resolve()) for name, value in named.items()})


def _discover(folder: str, extra: dict[str, str]) -> Repo:
    # The path comes last: it may hold newlines, and rev-parse has no -z.
    words = ("--is-inside-work-tree", "--is-shallow-repository", "--show-object-format", "--show-cdup")
    answer = call.ask(["rev-parse", *words, "--absolute-git-dir"], folder, extra)
    fields = os.fsdecode(answer.removesuffix(b"\n")).split("\n", 4)
    if fields[0] != "true":
        raise call.not_in_git(folder)
    _, shallow, hashing, up, git_dir = fields
    top = os.path.realpath(Path(folder) / up)
    below = Path(folder).relative_to(top).as_posix()
    git_dir = os.path.realpath(git_dir)
    prefix = "" if below == "." else f"{below}/"
    return Repo(top, prefix, git_dir, _common_dir(git_dir), hashing, shallow == "true")


def _common_dir(git_dir: str) -> str:
    """Return the shared git directory; gitrepository-layout(5), "commondir"."""
    try:
        named = os.fsdecode(read_beneath(git_dir, "commondir"))
    except DiskError:
        return git_dir
    return os.path.realpath(Path(git_dir) / named.removesuffix("\n"))


def _is_foreign(index: str, git_dir: str) -> bool:
    """Return whether an index file is in the git directory of another repository.

    A hook that checks a second book must not read the first one's index. A relative name is git's own
    (".git/index"), and means this repository; an index outside any git directory was put there by a person
    who means it.
    """
    parent = Path(index).parent
    foreign = parent.is_absolute() and os.path.realpath(parent) != git_dir
    return foreign and (parent / "HEAD").is_file()


def resolve(repo: Repo, revision: str) -> str:
    """Return the id of the commit that `revision` names.

    Raises UnknownRevisionError, naming it.
    """
    if not revision or revision.startswith("-") or not revision.isprintable():
        raise _unknown(repo, revision)
    words = ["rev-parse", "--verify", "--quiet", f"{revision}^{{commit}}"]
    status, answer, _ = call.try_asking(words, repo.top, repo.environment())
    if status:
        raise _unknown(repo, revision)
    return answer.decode("ascii").strip()


def _unknown(repo: Repo, revision: str) -> call.UnknownRevisionError:
    if revision in {"HEAD", "@"}:
        return call.UnknownRevisionError(f"{repo.top} has no commits yet", "commit the book first")
    mend = "name a commit, a branch or a tag; `git log --oneline` lists the commits"
    if repo.shallow:
        mend = "this clone is shallow and may not have it: run `git fetch --unshallow`"
    return call.UnknownRevisionError(f"{revision!r} names no commit in {repo.top}", mend)
