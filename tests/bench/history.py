"""Make a long history of a book, the same each time, and measure what commands take that read it.

    python -m tests.bench.history 40000 /tmp/long

Two benches share the book: each books in jobs of its own, goes on with them entry by entry, and every so often merges
what the other did. Jobs are those of the example, cut at their entries. Git builds the history from one stream
(git-fast-import(1)), in seconds.
"""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import IO, NamedTuple

from tests.bench.generate import Batch, Template, all_templates, renamed
from tests.books import EXAMPLE

_START = 1_500_000_000  # July 2017
_STEP = 2 * 3600
_OPEN = 12
_AT_ONCE = 4  # entries in a commit: an hour at the bench
_MERGE_EVERY = 40
_OWN = ("bench.toml", "meters.toml", "stock.toml", ".gitattributes")


class Version(NamedTuple):
    """What one commit writes: the path, the content, the message."""

    path: str
    text: str
    message: str


class Bench:
    """One of the two benches: its branch, its jobs on the go, and what the other has not got yet."""

    def __init__(self, letter: str, name: str, templates: list[Template]) -> None:
        self.letter, self.name = letter, name
        self.branch = f"refs/heads/{name}"
        self.head = ""
        self.unmerged: dict[str, str] = {}
        self._templates = templates
        self._booked = 0
        self._on_the_bench: list[Iterator[Version]] = []
        self._turn = 0

    def work(self, year: int) -> Version:
        """Book in a job, or go on with one of those on the bench, each in turn."""
        while True:
            if len(self._on_the_bench) < _OPEN:
                self._on_the_bench.append(self._versions(year))
            self._turn = (self._turn + 5) % len(self._on_the_bench)
            version = next(self._on_the_bench[self._turn], None)
            if version:
                self.unmerged[version.path] = version.text
                return version
            del self._on_the_bench[self._turn]

    def _versions(self, year: int) -> Iterator[Version]:
        template = self._templates[self._booked % len(self._templates)]
        number = self._booked // len(self._templates)
        batch = Batch(self.letter, year, number, number)
        self._booked += 1
        name = renamed(template.id, batch)
        blocks = renamed(template.text, batch).split("\n\n")
        for end in range(5, len(blocks) + _AT_ONCE, _AT_ONCE):
            message = f"Book in {name}" if end == 5 else f"Go on with {name}"
            yield Version(f"jobs/{year}/{name}.toml", "\n\n".join(blocks[:end]).rstrip("\n") + "\n", message)


def make_history(root: Path, commits: int) -> None:
    """Make a repository with so many commits in the new folder `root`, its main branch checked out."""
    root.mkdir(parents=True)
    subprocess.run(["git", "init", "-q", "-b", "ida", str(root)], check=True)
    with subprocess.Popen(["git", "fast-import", "--quiet"], cwd=root, stdin=subprocess.PIPE) as process:
        assert process.stdin
        _stream(process.stdin, commits)
    subprocess.run(["git", "reset", "-q", "--hard"], cwd=root, check=True)


def _stream(out: IO[bytes], commits: int) -> None:
    templates = list(all_templates())
    benches = [Bench("K", "ida", templates), Bench("S", "bo", templates)]
    own = {f"boards/{path.name}": path.read_text("utf-8") for path in sorted((EXAMPLE / "boards").iterdir())}
    own |= {name: (EXAMPLE / name).read_text("utf-8") for name in _OWN}
    _commit(out, 1, benches[0], "Open the book", own)
    benches[0].head = benches[1].head = ":1"
    for number in range(2, commits + 1):
        mine, other = benches[number % 2], benches[1 - number % 2]
        if number % _MERGE_EVERY < 2 and other.unmerged:
            _commit(out, number, mine, "Take in what the other bench did", other.unmerged, other.head)
            other.unmerged = {}
            continue
        version = mine.work(2017 + number * 10 // (commits + 1))
        _commit(out, number, mine, version.message, {version.path: version.text})


def _commit(
    out: IO[bytes], number: int, bench: Bench, message: str, files: dict[str, str], merged: str = ""
) -> None:
    who = f"{bench.name} <{bench.name}@bench.example> {_START + _STEP * number} +0000"
    lines = [f"commit {bench.branch}", f"mark :{number}", f"author {who}", f"committer {who}"]
    lines += [f"data {len(message)}", message]
    lines += [f"from {bench.head}"] if bench.head else []
    lines += [f"merge {merged}"] if merged else []
    for path, text in files.items():
        content = text.encode()
        lines += [f"M 100644 inline {path}", f"data {len(content)}", text]
    out.write("\n".join([*lines, ""]).encode())
    bench.head = f":{number}"


def measure(root: Path) -> Iterator[tuple[str, float]]:
    """Time what reads the history: each figure is the best of three runs, in seconds."""
    job = min((root / "jobs/2021").glob("*.toml"))
    jobkit = [sys.executable, "-m", "jobkit", "--book", str(root)]
    raw = ["git", "log", "-m", "--raw", "-z", "--no-renames", "--no-abbrev", "--format=raw"]
    yield "git log --raw alone", _best(raw, root)
    yield f"trail {job.stem}", _best([*jobkit, "trail", job.stem], root)
    yield "diff of the last hundred commits", _best([*jobkit, "diff", "HEAD~100..HEAD"], root)
    yield "what git shows of one job", _best([sys.executable, "-m", "jobkit.textconv", str(job)], root)
    hook = [sys.executable, "-P", "-m", "jobkit.hook"]
    yield "hook, nothing staged", _best(hook, root)
    job.write_text(job.read_text("utf-8") + "# looked at again\n", "utf-8")
    subprocess.run(["git", "add", str(job)], cwd=root, check=True)
    yield "hook, one job staged", _best(hook, root)
    subprocess.run(["git", "reset", "-q", "--hard"], cwd=root, check=True)


def _best(words: list[str], root: Path) -> float:
    return min(_seconds(words, root) for _ in range(3))


def _seconds(words: list[str], root: Path) -> float:
    begun = time.perf_counter()
    ended = subprocess.run(words, cwd=root, stdout=subprocess.DEVNULL, check=False)
    assert ended.returncode in {0, 1}, "a hook may find something, but nothing may fail"
    return time.perf_counter() - begun


if __name__ == "__main__":
    make_history(Path(sys.argv[2]), int(sys.argv[1]))
    for work, seconds in measure(Path(sys.argv[2])):
        print(f"{work:34}{seconds:8.2f} s")
