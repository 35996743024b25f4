"""What is tried: calls of writing commands, each on a book that is put back as it was before every trial."""

from __future__ import annotations

import os
import shutil
from collections.abc import Mapping
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages
from typing import NamedTuple

import jobkit
from tests.at_the_bench import JOB, JOB_PATH, NOW, bench_book, reading
from tests.book.repo import GitRepo
from tests.books import put
from tests.faults.steps import Ended, Fault, call

SECOND_PATH = "jobs/2026/K26-0009.toml"
OWN_HOOK = "#!/bin/sh\nexit 0\n"

_STOCK = 'format = 1\n\n[item.stage-50a-5x6]\nwhat = "power stage"\ncounted = 14\ncounted_on = 2026-09-30\n'
_UNTIDY = f"{JOB}\n{reading('work', value='20.50 ohm')}"
_SECOND = _UNTIDY.replace("0007", "0009")
_TWO = f"<<<<<<< ours\n{JOB}=======\n{JOB.replace('c-001', 'c-002')}>>>>>>> theirs\n"
_BOOK_IN = ("book-in", "--client", "c-2", "--title", "x", "--kind", "graphics card", "--complaint", "y")


class Scenario(NamedTuple):
    """A call, the files of the book that it needs, the calls before it, and what is typed."""

    words: tuple[str, ...]
    files: Mapping[str, str] = {}
    first: tuple[tuple[str, ...], ...] = ()
    pipe: str = ""

    @property
    def name(self) -> str:
        """The words of the command, without what it is told."""
        return " ".join(word for word in self.words[:2] if word in _NAMES)


_NAMES = frozenset(
    (
        *(
            "read",
            "jot",
            "work",
            "price",
            "start",
            "stop",
            "book-in",
            "--renumber",
            "stock",
            "count",
            "receive",
            "tidy",
        ),
        *("message", "invoice"),
        *("upgrade", "usual", "walk", "undo", "on", "init", "wire", "--undo"),
    )
)


def good_boards() -> dict[str, str]:
    """Return the files of five good boards, from which limits can be learned."""
    proof = reading("proof", "PG1", kind="diode", red_on="ground")
    good = JOB.replace("title", 'outcome = "repaired"\ntitle').replace("19\n", "19\nfinished = 2026-10-21\n")
    return {
        f"jobs/2026/K26-001{number}.toml": good.replace("0007", f"001{number}")
        + proof.replace("23.4 Ω", f"0.5{number} V")
        for number in range(5)
    }


WRITING = (
    Scenario(("read", "v12", "30")),
    Scenario(("jot", "work", "fit", "u3", "new")),
    Scenario(("jot", "price", "quoted", "160", "ceiling", "200")),
    Scenario(("jot", "start")),
    Scenario(("jot", "stop", "clean"), first=(("jot", "start"),)),
    Scenario(_BOOK_IN),
    Scenario(("book-in", "--renumber", SECOND_PATH), {SECOND_PATH: _TWO.replace("0007", "0009")}),
    Scenario(("jot", "message", "client", "fails again")),
    Scenario(("jot", "invoice"), first=(("jot", "price", "charged", "155"), ("jot", "date", "finished"))),
    Scenario(("stock", "count", "stage-50a-5x6", "9")),
    Scenario(("stock", "receive", "stage-50a-5x6", "9")),
    Scenario(("tidy",)),
    Scenario(("upgrade",), {"meters.toml": "format = 0\n", "schema/job.schema.json": "{}\n"}),
    Scenario(("usual", "rowan", "--write", "--on", "2026-10-22"), good_boards()),
    Scenario(("walk", "arrival"), pipe="20\n21\n22\n"),
    Scenario(("undo",), first=(("read", "v12", "30"),)),
)
"""Calls that write to the files of a book."""

SETTING_UP = (
    Scenario(("init", "../new", "--name", "Rim Bench", "--zone", "UTC")),
    Scenario(("wire",)),
    Scenario(("wire", "--undo"), first=(("wire",),)),
)
"""Calls that make a book, or set up its repository."""


class Bench:
    """A book in git, with an earlier entry on the list for `undo`, and somebody's own hook."""

    def __init__(self, folder: Path, scenario: Scenario) -> None:
        """Make the book that a scenario needs, and keep a copy."""
        self.root = folder / "book"
        self._kept = folder / "kept"
        bench_book(self.root)
        files = {"stock.toml": _STOCK, JOB_PATH: _UNTIDY, SECOND_PATH: _SECOND, **scenario.files}
        for path, text in files.items():
            put(self.root / path, text)
        repo = GitRepo.make(self.root, "--template=")
        repo.commit()
        repo.write(".git/hooks/pre-commit", OWN_HOOK).chmod(0o755)
        for words in (("on", "7"), ("read", "vmem", "23.4"), *scenario.first):
            ended = self.call(words)
            assert ended.status == 0, ended
        shutil.copytree(self.root, self._kept, symlinks=True)

    def put_back(self) -> None:
        """Put everything back as it was."""
        shutil.rmtree(self.root)
        shutil.rmtree(self.root.with_name("new"), ignore_errors=True)
        shutil.copytree(self._kept, self.root, symlinks=True)

    def call(
        self, words: tuple[str, ...], fault: Fault | None = None, *, pipe: str = "", seconds: int = 0
    ) -> Ended:
        """Run a command in the folder of the book."""
        return call(words, self.root, fault, pipe=pipe, at=NOW, seconds=seconds)

    def book(self) -> dict[str, bytes]:
        """Read the files of the book; temporary ones and git's are left aside."""
        return _files(self.root)

    def new_book(self) -> dict[str, bytes]:
        """Read the files of a book that was made beside this one."""
        return _files(self.root.with_name("new"))

    def hooks(self) -> dict[str, str]:
        """Read the hooks of the repository."""
        hooks = (path for path in (self.root / ".git/hooks").glob("*") if path.suffix != ".tmp")
        return {path.name: path.read_text() for path in hooks}


def _files(root: Path) -> dict[str, bytes]:
    found = {}
    for path in sorted(root.rglob("*")):
        inside = path.relative_to(root)
        if ".git" not in inside.parts and path.suffix != ".tmp" and path.is_file():
            found[inside.as_posix()] = path.read_bytes()
    return found


def load_all() -> None:
    """Load every module of jobkit once, so that the processes of the trials need not."""
    for found in walk_packages(jobkit.__path__, "jobkit."):
        if not found.name.endswith("__main__"):
            import_module(found.name)


def quiet_environment(home: Path) -> None:
    """Hide the person's and the machine's settings from the calls of this process."""
    for name in [name for name in os.environ if name.startswith("GIT_")]:
        del os.environ[name]
    os.environ |= {
        "GIT_CONFIG_GLOBAL": os.devnull,
        "GIT_CONFIG_NOSYSTEM": "1",
        "XDG_STATE_HOME": str(home / "state"),
        "XDG_CACHE_HOME": str(home / "cache"),
        "JOBKIT_BY": "ida",
        "COLUMNS": "100",
    }
    with suppress(KeyError):
        del os.environ["JOBKIT_NO_CACHE"]
