"""Read a board file as far as it can be read."""

from __future__ import annotations

from decimal import Decimal
from pathlib import PurePosixPath

from jobkit.book.read.bench import read_with
from jobkit.book.read.values import Values
from jobkit.book.schema.gate import Doc
from jobkit.book.schema.trouble import Trouble
from jobkit.jobs.design import Cause, Check, Design, Memory, Package, Point, PointLimit, Rail


def read_design(path: str, doc: Doc) -> tuple[Design, tuple[Trouble, ...]]:
    """Read the document of the board file at `path`."""
    return read_with(lambda top: _design(path, top), "board", doc)


def _design(path: str, top: Values) -> Design:
    return Design(
        path,
        top.text("design") or PurePosixPath(path).stem,
        top.text("kind"),
        tuple(map(_rail, top.tables("rail"))),
        tuple(map(_point, top.tables("point"))),
        tuple(map(_memory, top.tables("memory"))),
        tuple(map(_cause, top.tables("cause"))),
        tuple(map(_check, top.tables("check"))),
        top.texts("parts"),
        top.text("processor"),
        top.text("what"),
        tuple(map(_package, top.tables("package"))),
    )


def _rail(row: Values) -> Rail:
    return Rail(
        row.place,
        row.text("name"),
        row.quantity("nominal", "voltage"),
        row.texts("feeds"),
        row.flag("core"),
        row.text("made_from"),
        row.texts("through"),
    )


def _point(row: Values) -> Point:
    return Point(
        row.place,
        row.text("name"),
        row.text("where"),
        row.text("rail"),
        row.text("like"),
        tuple(map(_point_limit, row.tables("limit"))),
    )


def _point_limit(row: Values) -> PointLimit:
    kind = row.text("kind")
    return PointLimit(
        row.place,
        kind,
        row.text("state"),
        row.text("to"),
        row.text("red_on"),
        row.texts("removed"),
        row.limit("limit", kind),
        row.text("decision"),
    )


def _memory(row: Values) -> Memory:
    balls = tuple((channel, tuple(names)) for channel, names in row.get("balls", {}).items())
    return Memory(row.place, row.text("part"), row.texts("channels"), row.text("place"), balls)


def _package(row: Values) -> Package:
    return Package(
        row.place,
        row.text("part"),
        row.text("what"),
        row.text("place"),
        row.text("item"),
        row.text("moisture"),
    )


def _cause(row: Values) -> Cause:
    upsets = tuple((check, Decimal(str(chance))) for check, chance in row.get("upsets", {}).items())
    weight = row.number("weight")
    return Cause(
        row.place, row.text("name"), row.text("part"), Decimal(1) if weight is None else weight, upsets
    )


def _check(row: Values) -> Check:
    return Check(row.place, row.text("name"), row.number("minutes"), row.text("state"), row.texts("tells"))
