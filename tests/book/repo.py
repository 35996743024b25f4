"""Real git repositories for tests: nobody's settings, fixed dates and identities.

    repo = GitRepo.make(tmp_path / "bench")
    repo.write("bench.toml", "format = 1\n")
    commit = repo.commit("Open the bench")
    other = repo.clone(tmp_path / "second", author="bo")

Code under test that runs git itself sees the environment of the tests: call
`forget_git_settings(monkeypatch)` (in tests/book every test has done so).
"""

import os
import subprocess
from collections.abc import Mapping
from pathlib import Path
from typing import Self

import pytest

_START = 1_790_000_000  # 2026-09-21, so that ids of commits are the same in every run
_SETTINGS = {"GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_NOSYSTEM": "1", "LC_ALL": "C", "TZ": "UTC"}
_ADVICE_OFF = ("-c", "advice.skippedCherryPicks=false", "-c", "init.defaultBranch=main")


class GitRepo:
    """One working tree and its git; each commit is a minute later than the one before."""

    def __init__(self, root: Path, author: str = "ida") -> None:
        self.root = root
        self.author = author
        self._minutes = 0

    @classmethod
    def make(cls, root: Path, *words: str, author: str = "ida") -> Self:
        """Make an empty repository; `words` go to `git init`, such as "--object-format=sha256"."""
        root.mkdir(parents=True, exist_ok=True)
        made = cls(root, author)
        made.git("init", "-q", "-b", "main", *words)
        return made

    def clone(self, root: Path, *words: str, author: str = "bo") -> Self:
        """Clone this repository; `words` go to `git clone`."""
        self.git("clone", "-q", *words, self.root.as_uri(), str(root))
        return type(self)(root, author)

    def git(self, *words: str, env: Mapping[str, str] | None = None) -> str:
        """Run git and return what it prints; a status other than 0 fails the test with git's complaint."""
        done = self.attempt(*words, env=env)
        assert done.returncode == 0, f"git {' '.join(words)}: {done.stdout}{done.stderr}"
        return done.stdout

    def attempt(
        self, *words: str, env: Mapping[str, str] | None = None
    ) -> "subprocess.CompletedProcess[str]":
        """Run git and return how it ended."""
        return subprocess.run(
            ["git", *_ADVICE_OFF, *words],
            cwd=self.root,
            env={**self.environment(), **(env or {})},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            encoding="utf-8",
            errors="surrogateescape",
            check=False,
        )

    def environment(self) -> dict[str, str]:
        """Return the caller's environment without its git settings, with a fixed hour and name."""
        plain = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
        hour = f"{_START + 60 * self._minutes} +0000"
        mail = f"{self.author}@bench.example"
        who = {f"GIT_{role}_NAME": self.author for role in ("AUTHOR", "COMMITTER")}
        who |= {f"GIT_{role}_EMAIL": mail for role in ("AUTHOR", "COMMITTER")}
        who |= {f"GIT_{role}_DATE": hour for role in ("AUTHOR", "COMMITTER")}
        return {**plain, **_SETTINGS, **who, "GIT_EDITOR": "true"}

    def write(self, path: str, content: str | bytes) -> Path:
        """Write a file, its folders too; text is written as it stands, its line ends untouched."""
        file = self.root / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(content if isinstance(content, bytes) else content.encode())
        return file

    def commit(self, message: str = "Go on", files: Mapping[str, str | bytes] | None = None) -> str:
        """Write `files`, stage everything, commit it a minute after the last commit, and return its id."""
        for path, content in (files or {}).items():
            self.write(path, content)
        self._minutes += 1
        self.git("add", "-A")
        self.git("commit", "-q", "--allow-empty", "-m", message)
        return self._head()

    def _head(self) -> str:
        """Return the id of the last commit, from its file where that is a plain one: to ask git takes longer."""
        head = self.root / ".git/HEAD"
        named = head.read_text() if head.is_file() else ""
        ref = self.root / ".git" / named.removeprefix("ref: ").strip()
        return ref.read_text().strip() if ref.is_file() else self.git("rev-parse", "HEAD").strip()


def forget_git_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    """Take the person's and the machine's git settings out of this process."""
    for name in [name for name in os.environ if name.startswith("GIT_")]:
        monkeypatch.delenv(name)
    for name, value in _SETTINGS.items():
        monkeypatch.setenv(name, value)
