"""What the bench knows about one board, read without a look at all the other files of the book."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import TypeVar

from jobkit.book.read.bench import read_meters, read_settings
from jobkit.book.read.board import read_design
from jobkit.book.read.load import document
from jobkit.book.schema.gate import Doc
from jobkit.book.schema.trouble import Trouble
from jobkit.book.shelf.opening import ShelfError, Tree
from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design
from jobkit.jobs.settings import Settings

_Record = TypeVar("_Record")


def bench_of(folders: Sequence[Path], design: str | None) -> Bench:
    """Read settings, meters and the board file of a design from the first of these books that knows the design.

    Where none does, the first book there is; where there is none, habits and no limits. Never raises.
    """
    books = [folder for folder in folders if (folder / "bench.toml").is_file()]
    path = f"boards/{design}.toml"
    root = next((folder for folder in books if design and (folder / path).is_file()), next(iter(books), None))
    if root is None:
        return Bench()
    tree = Tree(root)
    board = _read(tree, path, partial(read_design, path), Design(path, ""))
    return Bench(
        settings=_read(tree, "bench.toml", read_settings, Settings()),
        meters=_read(tree, "meters.toml", read_meters, {}),
        designs={board.name: board} if board.name else {},
    )


def _read(
    tree: Tree, path: str, reader: Callable[[Doc], tuple[_Record, tuple[Trouble, ...]]], habit: _Record
) -> _Record:
    try:
        doc, _ = document(tree.read(path))
    except ShelfError:
        return habit
    return habit if doc is None else reader(doc)[0]
