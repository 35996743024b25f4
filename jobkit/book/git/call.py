"""One git process: its environment, its answer, its refusal in plain words.

What git would start on its own is switched off, because a repository may come from anyone: file system
monitors, pagers, external diffs, signature checks, and fetching of objects that a partial clone lacks.
"""

import os
import subprocess
from collections.abc import Mapping, Sequence

from jobkit.book.git.stuck import answer_of
from jobkit.units.errors import MisuseError

# What a hook or a person may set to say which repository, index and settings are meant (git(1), "ENVIRONMENT
# VARIABLES"). Every other GIT_ name (tracing, external diff, pathspec magic) is dropped. GIT_DIR and
# GIT_WORK_TREE are left to `repo`: git exports them to hooks of linked worktrees, where they would make any
# folder look like the top.
_KEPT = frozenset(
    {
        "GIT_ALTERNATE_OBJECT_DIRECTORIES",
        "GIT_CEILING_DIRECTORIES",
        "GIT_CONFIG_COUNT",
        "GIT_CONFIG_GLOBAL",
        "GIT_CONFIG_NOSYSTEM",
        "GIT_CONFIG_PARAMETERS",
        "GIT_CONFIG_SYSTEM",
        "GIT_DISCOVERY_ACROSS_FILESYSTEM",
        "GIT_EXEC_PATH",
        "GIT_INDEX_FILE",
        "GIT_OBJECT_DIRECTORY",
        "GIT_QUARANTINE_PATH",
    }
)
_KEPT_PREFIXES = ("GIT_CONFIG_KEY_", "GIT_CONFIG_VALUE_")

_SET = {
    "LC_ALL": "C",  # refusals are recognised by their English words
    "GIT_OPTIONAL_LOCKS": "0",  # never writes the index, so never runs post-index-change either
    "GIT_TERMINAL_PROMPT": "0",
    "GIT_PAGER": "cat",
    "GIT_LITERAL_PATHSPECS": "1",  # a folder named "a*" is that folder
    "GIT_NO_REPLACE_OBJECTS": "1",  # a blob id stands for one content, or the cache would lie
    "GIT_NO_LAZY_FETCH": "1",
    "GIT_ALLOW_PROTOCOL": "",  # gits too old for the line above: no transport is allowed
}

_SWITCHED_OFF = (
    "core.fsmonitor=false",
    "core.pager=cat",
    "log.diffMerges=separate",  # what -m stands for
    "log.showSignature=false",
    "submodule.recurse=false",
)


class GitError(MisuseError):
    """Git cannot do what was asked of it, for a reason that a person can fix."""


class GitStuckError(MisuseError):
    """Git waits for a file that never ends. Nothing is answered without git then: it is to be taken away."""


class GitMissingError(GitError):
    """There is no git program."""


class NotInGitError(GitError):
    """The folder is in no git repository, or in one without a working tree."""


class UnknownRevisionError(GitError):
    """A name means no commit of this repository."""


def environment(extra: Mapping[str, str]) -> dict[str, str]:
    """Return the environment of a git process: the caller's, cleaned, and `extra`."""
    kept = {name: value for name, value in os.environ.items() if _is_kept(name)}
    return {**kept, **_SET, **extra}


def _is_kept(name: str) -> bool:
    return not name.startswith("GIT_") or name in _KEPT or name.startswith(_KEPT_PREFIXES)


def filters_off(names: Sequence[str]) -> dict[str, str]:
    """Return an environment in which these settings of content filters start nothing.

    Git runs the clean filter of a file whose time stamp is too young to trust, and the filter may be anyone's program.
    """
    first = int(os.environ.get("GIT_CONFIG_COUNT") or 0)
    off: dict[str, str] = {}
    for number, name in enumerate(names, start=first):
        off[f"GIT_CONFIG_KEY_{number}"] = name
        off[f"GIT_CONFIG_VALUE_{number}"] = "false" if name.endswith(".required") else ""
    return {**off, "GIT_CONFIG_COUNT": str(first + len(names))}


def ask(arguments: Sequence[str], folder: str, extra: Mapping[str, str]) -> bytes:
    """Return what git prints when run in `folder`.

    Raises GitError, or its subclass that fits, where git ends with another status than 0.
    """
    status, answer, complaint = try_asking(arguments, folder, extra)
    if status:
        raise refusal(complaint, arguments[0], folder)
    return answer


def try_asking(arguments: Sequence[str], folder: str, extra: Mapping[str, str]) -> tuple[int, bytes, str]:
    """Return git's exit status, what it printed, and its complaint.

    Raises GitMissingError where no git can be started, GitStuckError where it would never end.
    """
    with start(arguments, folder, extra, stdin=subprocess.DEVNULL) as process:
        answer, complaint = finish(process, folder, extra)
    return process.returncode, answer, os.fsdecode(complaint)


def finish(process: "subprocess.Popen[bytes]", folder: str, extra: Mapping[str, str]) -> tuple[bytes, bytes]:
    """Wait for what a process that `start` has started prints, and complains of where that is not redirected.

    Raises GitStuckError where git would never end.
    """
    answer, complaint, endless = answer_of(process, folder, extra.get("GIT_DIR", ""))
    if endless:
        raise GitStuckError(f"git waits for {endless}, which is not a plain file", "remove it")
    return answer, complaint


def start(
    arguments: Sequence[str],
    folder: str,
    extra: Mapping[str, str],
    *,
    stdin: int = subprocess.PIPE,
    stderr: int = subprocess.PIPE,
) -> "subprocess.Popen[bytes]":
    """Start git in `folder`, with a pipe for its answer, and for what else is not redirected.

    Raises GitMissingError where no git can be started.
    """
    switches = [word for setting in _SWITCHED_OFF for word in ("-c", setting)]
    try:
        return subprocess.Popen(  # noqa: S603 - a fixed program, and no shell reads the words
            ["git", "--no-pager", *switches, *arguments],  # noqa: S607 - the git that the person uses
            cwd=folder,
            env=environment(extra),
            stdin=stdin,
            stdout=subprocess.PIPE,
            stderr=stderr,
        )
    except OSError as error:
        message = f"git cannot be started ({error.strerror})"
        raise GitMissingError(message, "install git, or put it on the PATH") from error


def refusal(complaint: str, command: str, folder: str) -> GitError:
    """Return git's complaint as an error with the way to fix it, git's own advice passed on."""
    lines = [line.strip() for line in complaint.splitlines() if line.strip()]
    advice = next((line for line in lines if line.startswith("git config ") and "safe.directory" in line), "")
    if advice:
        return GitError(
            f"git refuses {folder}: it belongs to another user", f"if you trust it, run: {advice}"
        )
    if "not a git repository" in complaint:
        return not_in_git(folder)
    fatal = next((line for line in lines if line.startswith(("fatal: ", "error: "))), "no reason given")
    hints = [line.removeprefix("hint: ") for line in lines if line.startswith("hint: ")]
    mend = " ".join(hints) or f"see what `git status` says in {folder}"
    return GitError(f"git {command} failed in {folder}: {fatal.partition(': ')[2] or fatal}", mend)


def not_in_git(folder: str) -> NotInGitError:
    """Return the error for a folder without a repository and a working tree around it."""
    return NotInGitError(f"{folder} is not in a git repository", "run `git init` there, or name another book")
