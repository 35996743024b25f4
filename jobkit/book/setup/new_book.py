"""A new book: its files as they are on the first day."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from pathlib import Path

from jobkit.book.disk.errors import in_words
from jobkit.book.disk.named import place_named
from jobkit.book.disk.reading import read_beneath
from jobkit.book.edit.written import written
from jobkit.book.schema.schema_files import FILES, schema_path
from jobkit.book.setup.attributes import PATTERN
from jobkit.book.toml.parse import decode
from jobkit.book.write.disk import clear_away, create
from jobkit.units.errors import MisuseError

_BENCH = """\
#:schema schema/bench.schema.json
# The settings of the bench. `jobkit rules` and the schema say which other keys there are.
format = 1

[bench]
{bench}
{more}
# What must be proved before a board may leave, by kind of board, in this order.
# [proof."graphics card"]
# cold_resistance = ["VCORE", "VMEM", "V12"]
# function        = ["picture"]
# load            = {{ run = "load run", minutes = 30 }}
# last            = ["final clean", "final inspection"]

# The warranty of jobs without their own terms. Local law may give more. A later change: as for tax, with since.
# [warranty]
# duration = "P6M"
# from = "sent"

# guarded: within U of the limit the meter cannot tell, so the verdict is near.
# [decision]
# rule = "guarded"
# k    = 2
"""

_METERS = """\
#:schema schema/meters.schema.json
# The meters, from their data sheets. The first meter with a range for the kind is used, unless you name another.
format = 1

# [[meter]]
# name       = "dmm-1"
# calibrated = 2026-03-02
# every      = "P1Y"
#
# [[meter.range]]
# kind    = "resistance"
# upto    = "220 Ω"
# percent = 0.5
# counts  = 8
# step    = "0.01 Ω"
# lead    = "0.12 Ω"                    # still in the readings; left out: already nulled
"""

_STOCK = """\
#:schema schema/stock.schema.json
# Parts on hand at the last count; parts used since are subtracted.
format = 1

# [item.stage-50a-5x6]
# what       = "power stage 50 A, 5x6 mm"
# counted    = 14
# counted_on = 2026-09-30
# reorder_at = 6
"""

GIT_IGNORE = "private/\n.*.tmp\n"
GIT_ATTRIBUTES = f"{PATTERN}\n"

_TAPLO = """\
# For editors that read TOML through taplo: which schema goes with which file.
include = [{files}]

# Spaces alone: each line stays one line.
[formatting]
align_entries = true
array_auto_expand = false
array_auto_collapse = false
column_width = 130
allowed_blank_lines = 2
"""
_TAPLO_RULE = """
[[rule]]
include = ["**/{files}"]
schema = {{ path = "schema/{kind}.schema.json" }}
"""

_TOMBI = """\
# For editors that read TOML through tombi: which schema goes with which file, offline.
[lint.rules]
# A job reads like a diary: entries of different kinds are in the order of the day.
tables-out-of-order = "off"

# Nor are they to be put together by a formatter: it would take the diary apart.
[[overrides]]
files.include = [{files}]
format.enabled = false

[schema]
enabled = true
catalog = {{ paths = [] }}
"""
_TOMBI_RULE = """
[[schemas]]
path = "schema/{kind}.schema.json"
include = ["{files}"]
"""

_WHERE = {
    "job": "jobs/*/*.toml",
    "board": "boards/*.toml",
    "bench": "bench.toml",
    "meters": "meters.toml",
    "stock": "stock.toml",
    "clients": "private/clients.toml",
}
_NAMED_IN = ("bench", "meters", "stock", "board", "job", "clients")


class NotEmptyError(MisuseError):
    """A new book would take the place of files that are there already."""


_TAX = """
# How bills are taxed; prices in the jobs are net, so tax comes on top. Ask your tax adviser.
# When the rate changes, write [[tax]] here and add a second [[tax]] with since, the first day of the new rate.
[tax]
rate = "{tax}"
"""
_HEAT = """
# Minutes after heat before a resistance may be read as cold.
[heat]
cooling_minutes = {minutes}
"""


def make_book(
    folder: Path, bench: Mapping[str, str], tax: str = "", cooling: int | None = None
) -> tuple[str, ...]:
    """Make the files of a new book, and give their paths.

    `bench` holds name, letter, zone and, if known, currency and rate; `tax` is a percentage, "" for none; `cooling` is
    in minutes, None for the usual time.

    bench.toml, which makes a folder a book, comes last. Files that are there already as they would be made were left by
    a call that was ended half-way, and stay. Raises NotEmptyError where one of them holds something else, and then none
    is made; DiskError.
    """
    files = dict(blank_files(bench, tax, cooling))
    with in_words(str(folder), "written"):
        place = place_named(str(folder))
    missing = {path for path, text in files.items() if not _is_made(folder, path, text)}
    for path, text in files.items():
        if path in missing:
            create(Path(place.root), f"{place.path}/{path}", text)
        else:
            clear_away(Path(place.root), f"{place.path}/{path}")
    return tuple(files)


def _is_made(folder: Path, path: str, text: str) -> bool:
    """Tell whether a file is there as it would be made; raises NotEmptyError where it holds something else.

    Of the files for git, which many a folder has already, it is enough that they hold these lines.
    """
    if not os.path.lexists(folder / path):
        return False
    there = decode(read_beneath(str(folder), path))
    if path.startswith(".git"):
        lacking = [line for line in text.splitlines() if line not in there.splitlines()]
        if lacking:
            said = f"{folder / path} is there already, without a line that a book needs"
            raise NotEmptyError(said, f"add to it: {', '.join(lacking)}")
    elif there != text:
        said = f"{folder / path} is there already, with something else in it"
        raise NotEmptyError(said, "name another folder, or move that file")
    return True


def blank_files(
    bench: Mapping[str, str], tax: str = "", cooling: int | None = None
) -> Iterator[tuple[str, str]]:
    """Give each file of a new book, by its path: .gitignore first, so that at no time git would take private/."""
    width = max(map(len, bench))
    lines = "\n".join(f"{key:<{width}} = {written(value)}" for key, value in bench.items())
    yield ".gitignore", GIT_IGNORE
    yield ".gitattributes", GIT_ATTRIBUTES
    yield from editor_files()
    yield from schema_files()
    yield "meters.toml", _METERS
    yield "stock.toml", _STOCK
    more = (_TAX.format(tax=tax) if tax else "") + (
        _HEAT.format(minutes=cooling) if cooling is not None else ""
    )
    yield "bench.toml", _BENCH.format(bench=lines, more=more)


def editor_files() -> Iterator[tuple[str, str]]:
    """Give the files that tell editors which schema goes with which file."""
    files = ", ".join(f'"{_WHERE[kind]}"' for kind in _NAMED_IN)
    rules = (_TAPLO_RULE.format(files=where, kind=kind) for kind, where in _WHERE.items())
    yield ".taplo.toml", _TAPLO.format(files=files) + "".join(rules)
    schemas = (_TOMBI_RULE.format(files=where, kind=kind) for kind, where in _WHERE.items())
    yield "tombi.toml", _TOMBI.format(files=files) + "".join(schemas)


def schema_files() -> Iterator[tuple[str, str]]:
    """Give the copies of the schemas that a book holds."""
    for kind in FILES:
        yield f"schema/{kind}.schema.json", schema_path(kind).read_text("utf-8")
