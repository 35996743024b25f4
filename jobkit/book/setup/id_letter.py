"""The letter with which a clone's ids begin: in the repository's own settings, so that no two clones share one."""

from __future__ import annotations

import os
import re

from jobkit.book import git
from jobkit.book.git import config
from jobkit.jobs.settings import Settings
from jobkit.units.errors import MisuseError

_LETTER = re.compile("[A-Z]")


class LetterError(MisuseError):
    """A letter that bench.toml does not list."""


def own_letter(root: str | os.PathLike[str]) -> str:
    """Return the letter that this clone was given for the book in the folder `root`; "" where it was given none."""
    try:
        repo = git.open_repo(root)
        return next(iter(config.own_values(repo, _key(repo))), "")
    except (git.NotInGitError, git.GitMissingError):
        return ""  # outside git there is one clone


def letter_of(root: str | os.PathLike[str], settings: Settings) -> str:
    """Return the letter for new ids: the clone's own, or the bench's; raises LetterError for one not listed."""
    letter = own_letter(root)
    if letter:
        check_letter(letter, settings)
    return letter or settings.letter


def set_letter(root: str | os.PathLike[str], letter: str, settings: Settings) -> None:
    """Give this clone a letter; raises LetterError for one not listed, GitError."""
    check_letter(letter, settings)
    repo = git.open_repo(root)
    config.set_own(repo, _key(repo), [letter])


def forget_letter(root: str | os.PathLike[str]) -> None:
    """Take this clone's letter away; raises GitError."""
    repo = git.open_repo(root)
    config.set_own(repo, _key(repo), [])


def check_letter(letter: str, settings: Settings) -> None:
    """Raise LetterError where a letter is not in bench.toml: another clone may have it too."""
    if not _LETTER.fullmatch(letter):
        raise LetterError(f'"{letter}" is not a capital letter', "write one, such as K")
    if letter not in settings.letters:
        listed = {settings.letter: "…", **settings.letters, letter: "…"}
        table = ", ".join(f'{one} = "{who}"' for one, who in listed.items())
        raise LetterError(
            f"bench.toml does not list the letter {letter}",
            f"say under [bench] who has which, and share that first: letters = {{ {table} }}",
        )


def _key(repo: git.Repo) -> str:
    """Name the setting: each book of a repository has its own letter."""
    return f"jobkit.{repo.prefix or '.'}.letter"
