"""Measure `jobkit export` of 100,000 jobs, and three query engines that read what it wrote.

    python -m tests.bench.export DIR                # ten books of 10,000 jobs each; about 4 GB in DIR
    python -m tests.bench.export DIR --jobs 500     # ten books of 500
    python -m tests.bench.export DIR --engines duckdb polars

DIR is kept: what is in it (books, tables, answers) is not made again, so that a run that was cut short goes on; take it
away to measure anew. The books are copies of one: where several are exported, ids begin with the name of their book.
No job names a log: no log is exported. Processor times are those of all processes of a program together, which says
the same whatever else the machine does. A table is printed only if all engines see the types that the schemas name,
the rows that jobkit says it wrote, and the same answers.
"""

from __future__ import annotations

import argparse
import json
import math
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

from jobkit.pages.tables.engine_types import types_of
from jobkit.pages.tables.export import NAMES
from tests.bench.__main__ import ROOT, book, forget, git, installed
from tests.bench.engines import ENGINES, QUESTIONS
from tests.bench.stopwatch import Stopwatch, as_table

BOOKS = 10
FORMS = {"jsonl": "JSON Lines", "parquet": "Parquet"}
ON = ("--on", "2026-11-20")


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("home", metavar="DIR", type=Path)
    words.add_argument("--jobs", type=int, default=10_000, help="of each book")
    words.add_argument("--engines", nargs="+", choices=ENGINES, default=[*ENGINES])
    chosen = words.parse_args()
    home = chosen.home.resolve()
    os.environ["XDG_CACHE_HOME"] = str(home / "cache")
    lay_out(home / "books", chosen.jobs)
    exports = exported(home)
    print(as_table(exports, ("export", "clock", "processor", "peak memory of a process", "files", "size")))
    print()
    found = {(name, form): answer_of(home, name, form) for name in chosen.engines for form in FORMS}
    print(agreed(found, {form: written(home / form) for form in FORMS}))
    print()
    heads = (
        "engine",
        "form",
        "start",
        "rows of all tables",
        *QUESTIONS,
        "clock, all together",
        "peak memory",
    )
    print(as_table([_told(name, form, told) for (name, form), told in found.items()], heads))


def lay_out(books: Path, jobs: int) -> None:
    """Make one book, and copies of it."""
    places = [books / f"bench-{number:02d}" for number in range(1, BOOKS + 1)]
    if not places[0].exists():
        book(places[0], jobs, logs=False)
    for place in places[1:]:
        if not place.exists():
            shutil.copytree(places[0], place)
            git(place, "status")  # so that git knows the files of the copy by their times


def exported(home: Path) -> list[Sequence[str]]:
    """Export the books in both forms, and once more where nothing has changed; give the rows of the table."""
    watch = Stopwatch(home / "installed" if (home / "installed").exists() else installed(home))
    kept = home / "exported.json"
    if not kept.exists():
        forget()
        rows = [
            _export(watch, home, "jsonl", "JSON Lines, for the first time (lint and all)"),
            _export(watch, home, "jsonl", "JSON Lines again, nothing has changed"),
            _export(watch, home, "parquet", "Parquet, what lint found is kept"),
        ]
        kept.write_text(json.dumps(rows), "utf-8")
    return list(json.loads(kept.read_text("utf-8")))


def _export(watch: Stopwatch, home: Path, form: str, title: str) -> Sequence[str]:
    books = [word for place in sorted((home / "books").iterdir()) for word in ("--book", str(place))]
    tables = home / form
    took = watch.jobkit(home, "export", str(tables), "--format", form, *ON, *books, calls=1)
    files = [path for path in tables.rglob(f"*.{form}") if path.is_file()]
    size = sum(path.stat().st_size for path in files)
    spent = f"{watch.processor:.0f} s"
    return (
        title,
        f"{took:.0f} s",
        spent,
        f"{watch.memory / 1024:.0f} MB",
        str(len(files)),
        f"{size / 1e6:.0f} MB",
    )


def written(tables: Path) -> dict[str, int]:
    """Tell how many rows each table has by the notes that the export left in its folder."""
    years = json.loads((tables / ".jobkit-export.json").read_text("utf-8"))["years"].values()
    return {table: sum(year["lines"].get(table, 0) for year in years) for table in NAMES}


def answer_of(home: Path, name: str, form: str) -> dict[str, Any]:
    """Ask an engine, in a process of its own."""
    place = home / f"{name}-{form}.json"
    if not place.exists():
        words = [sys.executable, "-m", "tests.bench.engines", name, str(home / form), form, str(place)]
        subprocess.run(words, cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
    told: dict[str, Any] = json.loads(place.read_text("utf-8"))
    return told


def agreed(found: dict[tuple[str, str], dict[str, Any]], rows: dict[str, dict[str, int]]) -> str:
    """Say how many rows all engines found, each column with its type; raises SystemExit where they differ."""
    types = {table: types_of(table) for table in NAMES}
    for (name, form), told in found.items():
        _same(f"{name}, {form}: the types", told["types"], types)
        _same(f"{name}, {form}: the rows", told["rows"], rows[form])
    for (one, told), (other, more) in pairwise(found.items()):
        for title in QUESTIONS:
            both = told["answers"][title], more["answers"][title]
            _same(f"{title}: {' '.join(one)} and {' '.join(other)}", *both, is_same=alike)
    columns = sum(map(len, types.values()))
    counts = next(iter(rows.values()))
    return (
        f"{counts['jobs']:,} jobs, {sum(counts.values()):,} rows in {len(NAMES)} tables: the same rows, the same "
        f"types of {columns} columns and the same answers in {', '.join(dict.fromkeys(name for name, _ in found))}."
    )


def _same(
    what: str, one: Any, other: Any, *, is_same: Callable[[Any, Any], bool] = lambda a, b: a == b
) -> None:
    if not is_same(one, other):
        raise SystemExit(f"{what} differ:\n{one}\n{other}")


def alike(one: Any, other: Any) -> bool:
    """Tell whether answers are the same; sums may differ in the last digits: each engine adds in its own order."""
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(alike, one, other))
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=1e-9)
    return bool(one == other)


def _told(name: str, form: str, told: dict[str, Any]) -> Sequence[str]:
    spent = (f"{seconds:.1f} s" for seconds in told["processor"].values())
    return (name, FORMS[form], *spent, f"{told['clock']:.0f} s", f"{told['memory'] / 1024:,.0f} MB")


if __name__ == "__main__":
    main()
