"""What git shows of a job file in diffs: `python -m jobkit.textconv FILE`, set up by `jobkit wire`.

Each entry becomes one line with its time, who wrote it and, for a reading, its verdict, so that `git log -p` reads like
a bench diary. Everything else stays as it is written, remarks too, and so does a file that cannot be read. Git calls
this twice for every file it shows: it starts as little as it can.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from jobkit.book.disk.errors import DiskError
from jobkit.book.disk.reading import read_plain
from jobkit.book.read.bench_of import bench_of
from jobkit.book.read.load import load_job
from jobkit.book.toml.outline import Outline, Section, outline
from jobkit.book.toml.parse import decode
from jobkit.jobs.finding import Place
from jobkit.reckon.changes.daily_entries import diary
from jobkit.reckon.changes.job_changes import JobVersion


def converted(content: bytes, books: Sequence[Path] = ()) -> bytes:
    """Turn a job file into what git shows of it, its readings compared with the limits in one of these books."""
    job = load_job("", content).job
    if job is None:
        return content
    text = decode(content)
    bench = bench_of(books, job.board.design)
    return "".join(_lines(text, outline(text), dict(diary(JobVersion(job, bench))))).encode()


def _lines(text: str, found: Outline, entries: Mapping[Place, str]) -> Iterator[str]:
    """Yield the text with a line in place of each entry, its remarks behind it, and no gap between two of them."""
    written, after_entry = 0, False
    for section in found.sections:
        line = entries.get(section.path)
        if line is not None:
            gap = text[written : section.start]
            yield gap.lstrip("\n") if after_entry else gap
            yield f"{line}{_remarks(text, section, found)}\n"
        elif not _belongs(section.path, entries):
            after_entry = False
            continue
        written, after_entry = section.end, True
    yield text[written:]


def _belongs(path: Place, entries: Mapping[Place, str]) -> bool:
    return any(path[:end] in entries for end in range(1, len(path)))


def _remarks(text: str, section: Section, found: Outline) -> str:
    """Gather what is remarked beside and between the statements of an entry."""
    pieces = [text[section.start : section.head_end].partition("]]")[2]]
    above = section.head_end
    for statement in section.statements:
        span = found.spans[statement.path]
        pieces += [text[above : statement.start], text[span.end : statement.end]]
        above = statement.end
    lines = (line.strip() for piece in pieces for line in piece.split("\n"))
    return "".join(f"  {line}" for line in lines if line.startswith("#"))


def main(arguments: Sequence[str]) -> int:
    """Print what git shows of the file named last; before it may stand the folders of books."""
    *books, file = arguments
    try:
        content = read_plain(file)
    except DiskError as error:
        sys.stderr.write(f"jobkit: {error}\n")
        return 1
    try:
        shown = converted(content, [Path(book) for book in books or (".",)])
    except Exception:  # noqa: BLE001 - a fault of jobkit must not keep git from showing a file
        shown = content
    sys.stdout.buffer.write(shown)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
