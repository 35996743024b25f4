"""A folder that a command writes many files to."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from jobkit.book.disk.errors import in_words
from jobkit.book.disk.named import Place, place_named
from jobkit.units.errors import MisuseError


def target_folder(folder: str, roots: Sequence[Path]) -> Place:
    """Find the place of a folder that is new or old and in the way of none of these books; raises MisuseError."""
    with in_words(folder, "written"):
        place = place_named(folder)
    target = Path(str(place))
    if any(_is_in_the_way(target, root) for root in roots):
        raise MisuseError(f"{folder} is the folder of the book", "name a separate folder")
    if target.exists() and not target.is_dir():
        raise MisuseError(f"{folder} is not a folder", "name a folder, new or old")
    return place


def _is_in_the_way(target: Path, root: Path) -> bool:
    kept = {"jobs", "boards", "private", "papers", "schema"}
    return target == root or (target.is_relative_to(root) and target.relative_to(root).parts[0] in kept)
