"""The book that the tests of lint break, laid out in a folder, and what lint finds in it.

tests/lint/book is sound as of TODAY. Files are laid over it:

- `jobs/2026/K26-0009.toml` and the like replace or add a file; an empty one takes it away;
- what lies below `later/` is laid out only after all the rest was committed, which makes the folder a git repository;
- `_gitignore` stands for `.gitignore`, which would count for the folder of the tests itself.
"""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from datetime import date
from pathlib import Path

import rtoml

from jobkit.book.history.repository_state import repository_state
from jobkit.book.read.load import OpenBook, open_book
from jobkit.book.shelf.opening import Shelf, Tree
from jobkit.jobs.bench import RepositoryState
from jobkit.jobs.finding import Finding
from jobkit.lint.run.whole_book import lint
from tests.book.repo import GitRepo

BOOK = Path(__file__).parent / "book"
TODAY = date(2026, 10, 31)


def lay(root: Path, files: Mapping[str, str]) -> Path:
    """Lay out the sound book in the new folder `root`, and `files` over it, by path."""
    shutil.copytree(BOOK, root)
    later = {path: text for path, text in files.items() if path.startswith("later/")}
    _put(root, {path: text for path, text in files.items() if path not in later})
    if later:
        repo = GitRepo.make(root)
        repo.commit("All but what comes later")
        _put(root, {path.removeprefix("later/"): text for path, text in later.items()})
    return root


def _put(root: Path, files: Mapping[str, str]) -> None:
    for path, text in files.items():
        place = root / path.replace("_gitignore", ".gitignore")
        if text:
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(text.encode())
        else:
            place.unlink()


def opened(root: Path, shelf: Shelf | None = None) -> OpenBook:
    """Open a book as lint does, as of TODAY."""
    shelf = shelf or Tree(root)
    book = open_book(shelf)
    # Git is asked only where a test has made a repository: it takes longer than all the rest.
    around = (
        repository_state(root, shelf)
        if (root / ".git").exists() or (root / "schema").exists()
        else RepositoryState()
    )
    return book._replace(bench=book.bench._replace(today=TODAY, repository=around))


def found_in(root: Path) -> tuple[Finding, ...]:
    """Lint a book."""
    return lint(opened(root)).findings


def example(place: Path) -> dict[str, str]:
    """Read an example: a folder of files to lay over the book, or one file, whose content tells which it is."""
    if place.is_dir():
        return {
            path.relative_to(place).as_posix(): path.read_text("utf-8")
            for path in sorted(place.rglob("*"))
            if path.is_file()
        }
    text = place.read_text("utf-8")
    return {_path_of(rtoml.loads(text)): text}


def _path_of(doc: Mapping[str, object]) -> str:
    if "id" in doc:
        job_id = str(doc["id"])
        return f"jobs/20{job_id[1:3]}/{job_id}.toml"
    if "design" in doc:
        return f"boards/{doc['design']}.toml"
    return next(f"{name}.toml" for key, name in _BY_TABLE.items() if key in doc)


_BY_TABLE = {"bench": "bench", "meter": "meters", "item": "stock"}
