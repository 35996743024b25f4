"""Git's settings: those of one repository are read and written, all others only read."""

import os
import re

from jobkit.book.disk.errors import DiskError
from jobkit.book.disk.reading import read_plain
from jobkit.book.git import call
from jobkit.book.git.repo import Repo
from jobkit.named_tuple import NamedTuple


class Setting(NamedTuple):
    """A setting in force: its value, and where it comes from ("local", "worktree", "global", "system", "command")."""

    value: str
    scope: str


def in_force(repo: Repo, name: str) -> Setting | None:
    """Return the setting that git goes by, a path with its "~" resolved; None where it is not set. Raises GitError."""
    words = ("config", "-z", "--show-scope", "--type=path", "--get", name)
    status, answer, complaint = call.try_asking(words, repo.top, repo.environment())
    if status == 1:
        return None
    if status:
        raise call.refusal(complaint, "config", repo.top)
    scope, value = os.fsdecode(answer).removesuffix("\0").split("\0", 1)
    return Setting(value, scope)


def own_values(repo: Repo, name: str) -> list[str]:
    """Return all values that the repository itself gives a setting. Raises GitError."""
    words = ("config", "--local", "-z", "--get-all", name)
    status, answer, complaint = call.try_asking(words, repo.top, repo.environment())
    if status > 1:
        raise call.refusal(complaint, "config", repo.top)
    return os.fsdecode(answer).split("\0")[:-1]


def set_own(repo: Repo, name: str, values: list[str]) -> None:
    """Give a setting of the repository these values and no others; none takes it away. Raises GitError.

    A setting that came and went leaves no trace. A value that stays is there all the time, whatever is ended between.
    """
    known = own_values(repo, name)
    if len(values) == 1 and known != values:
        repo.ask("config", "--local", "--replace-all", name, values[0])
        return
    for value in values:
        if value not in known:
            repo.ask("config", "--local", "--add", name, value)
    for value in dict.fromkeys(known):
        if value not in values:
            repo.ask("config", "--local", "--unset-all", name, f"^{_literal(value)}$")
    if known and not values:
        _remove_if_empty(repo, name.rpartition(".")[0])


def _literal(value: str) -> str:
    """Write a value as an extended regular expression that matches it alone; re_format(7)."""
    return re.sub(r"[][{}()\\.*+?|^$]", r"\\\g<0>", value)


def _remove_if_empty(repo: Repo, section: str) -> None:
    """Take away the header of a section with nothing beneath it; git leaves it where a remark is above."""
    first, _, second = section.partition(".")
    header = f'[{first} "{second}"]' if second else f"[{first}]"
    try:
        # Some keep the settings elsewhere, behind a link.
        text = os.fsdecode(read_plain(f"{repo.common_dir}/config"))
    except DiskError:
        return
    if re.search(rf"^{re.escape(header)}\n(?=\[|\Z)", text, re.MULTILINE):
        repo.ask("config", "--local", "--remove-section", section)


def attributes(repo: Repo, path: str) -> dict[str, str]:
    """Return git's attributes of a path (relative to the top) that are set, there or not. Raises GitError."""
    answer = os.fsdecode(repo.ask("check-attr", "-z", "--all", "--", path)).split("\0")
    return dict(zip(answer[1::3], answer[2::3], strict=True))


def hooks_folder(repo: Repo) -> str:
    """Return where git looks for hooks, absolute. Raises GitError."""
    answer = os.fsdecode(repo.ask("rev-parse", "--git-path", "hooks")).removesuffix("\n")
    return os.path.join(repo.top, answer)  # noqa: PTH118 - text in, text out
