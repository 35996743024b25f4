"""Measure the language server on a large book, as an editor feels it, beside a server that knows schemas alone.

    python -m tests.bench.editor BOOK           # a folder in git with bench.toml, such as `make_large` writes

Every figure is the median and the most of several answers to one running server, from the message to the answer, and
beside it the processor time that one answer took the server (Linux only), which other work on the machine changes less.
The other server is a general-purpose one for TOML, on the same file with the same schema, where it is installed.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from functools import partial
from itertools import count
from pathlib import Path
from typing import NamedTuple

from tests.bench.stopwatch import as_table
from tests.editor.client import JOBKIT, Client

_TIMES = 9

Row = tuple[str, str, str, str, str]


def main() -> None:
    root = Path(sys.argv[1]).resolve()
    rows = []
    for row in measured(root):
        print(*row, sep=", ", file=sys.stderr)
        rows.append(row)
    print(as_table(rows, ("what", "median", "most", "processor", "to be met")))


OTHERS = {"tombi": ("lsp", "--offline")}


def measured(root: Path) -> Iterator[Row]:
    lint = [sys.executable, "-m", "jobkit", "--book", str(root), "lint"]
    subprocess.run(
        lint, check=False, stdout=subprocess.DEVNULL
    )  # what is kept is there, as on any day but the first
    job = max((root / "jobs").glob("*/*.toml"))
    yield from _of("jobkit", root, job, JOBKIT)
    for name, words in OTHERS.items():
        place = Path(sys.executable).parent / name
        if place.exists():
            yield from _of(name, root, job, (str(place), *words))


def _of(name: str, root: Path, job: Path, words: tuple[str, ...]) -> Iterator[Row]:
    text = job.read_text("utf-8")
    ready, worked = [], 0.0
    for _ in range(3):
        begun = time.perf_counter()
        with Client(*words) as client:
            client.start(root)
            client.open(job)
            ready.append(time.perf_counter() - begun)
            worked += _processor(client)
    yield _row(f"{name}: from the start to the first findings", Took(ready, worked), "1 s")
    line, column = _place(text)
    with Client(*words) as client:
        client.start(root)
        client.open(job)
        yield _row(f"{name}: findings after a key", _timed(client, _keys(client, job, text)), "100 ms")
        for method in (
            ("hover", "completion", "definition", "references")
            if words == JOBKIT
            else ("hover", "completion")
        ):
            more = {"context": {"includeDeclaration": True}} if method == "references" else {}
            took = _timed(client, partial(client.at, method, job, line, column, **more))
            yield _row(f"{name}: {method}", took, "100 ms")
        if not words:
            whole = {"start": {"line": 0, "character": 0}, "end": {"line": 9999, "character": 0}}
            asked = {"textDocument": {"uri": job.as_uri()}, "range": whole}
            took = _timed(client, partial(client.ask, "textDocument/inlayHint", asked))
            yield _row(f"{name}: verdicts", took, "100 ms")


def _keys(client: Client, job: Path, text: str) -> Callable[[], object]:
    """Return what types one more letter and waits for the findings of the new text."""
    typed = count()
    return lambda: client.change(job, f"{text}# {next(typed)}\n")


def _place(text: str) -> tuple[int, int]:
    """Return a place within the value of the first point that is read."""
    lines = text.splitlines()
    line = next(at for at, one in enumerate(lines) if one.replace(" ", "").startswith('point="'))
    return line, lines[line].index('"') + 2


class Took(NamedTuple):
    """The seconds of each answer, and the processor time that the server had for all of them."""

    each: list[float]
    worked: float


def _timed(client: Client, ask: Callable[[], object]) -> Took:
    took = []
    before = _processor(client)
    for _ in range(_TIMES):
        begun = time.perf_counter()
        ask()
        took.append(time.perf_counter() - begun)
    return Took(took, _processor(client) - before)


def _processor(client: Client) -> float:
    """Return the seconds of processor time that a server has had so far; 0 where the system does not tell."""
    place = Path(f"/proc/{client.process.pid}/stat")
    if not place.exists():
        return 0.0
    fields = place.read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def _row(what: str, took: Took, aim: str) -> Row:
    median, most = statistics.median(took.each), max(took.each)
    worked = f"{1000 * took.worked / len(took.each):.0f} ms" if took.worked else ""
    return what, f"{1000 * median:.0f} ms", f"{1000 * most:.0f} ms", worked, aim


if __name__ == "__main__":
    main()
