"""The files of a book that commands go through one by one: those named, else all."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from jobkit.book.shelf.opening import Kind, Tree, kind_of
from jobkit.cli.call.named_files import named

SCHEMED = frozenset(("job", "board", "bench", "meters", "stock", "clients"))
"""The kinds of file that have a schema."""


def files_of(root: Path, paths: Sequence[str]) -> Iterator[tuple[Kind, str]]:
    """Yield kind and path of each file below one of the paths, all where none is; raises MisuseError."""
    tree = Tree(root)
    wanted = named(tree, root, paths)
    for path in tree.paths():
        if kind_of(path) in SCHEMED and wanted(path):
            yield kind_of(path), path
