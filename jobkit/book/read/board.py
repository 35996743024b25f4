"""Read a board file as far as it can be read."""

from __future__ import annotations

from pathlib import PurePosixPath

from jobkit.book.read.bench import read_with
from jobkit.book.read.named_after_file import named_after_file
from jobkit.book.read.tables import Shape, Tables
from jobkit.book.read.values import Values
from jobkit.book.schema.gate import Doc
from jobkit.book.schema.trouble import Trouble
from jobkit.jobs.ball_array import BallArray
from jobkit.jobs.design import Check, Design, Memory, Package, Point, PointLimit, PossibleCause, Rail

_TABLES = Tables(
    "board",
    {
        (): Shape(Design, names={"design": "name", "format": ""}),
        ("rail",): Shape(Rail, "rails"),
        ("point",): Shape(Point, "points"),
        ("point", "limit"): Shape(PointLimit, "limits"),
        ("package",): Shape(Package, "packages"),
        ("package", "array"): Shape(BallArray, "array"),
        ("memory",): Shape(Memory, "memory"),
        ("check",): Shape(Check, "checks"),
        ("cause",): Shape(PossibleCause, "causes"),
    },
)


def read_design(path: str, doc: Doc) -> tuple[Design, tuple[Trouble, ...]]:
    """Read the document of the board file at `path`."""
    design, troubles = read_with(lambda top: _design(path, top), "board", doc)
    return design, tuple(named_after_file("board", path, troubles))


def _design(path: str, top: Values) -> Design:
    name = PurePosixPath(path).stem
    design: Design = _TABLES.record((), top.row, (), top.troubles, path=path, name=name)
    return design
