"""What must hold of any bytes, reader by reader: each target raises AssertionError, or any error, where it does not."""

from __future__ import annotations

import io
import sqlite3
import tempfile
import tomllib
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing, suppress
from datetime import date, datetime, time
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple, TypeVar

from jobkit.book.cache.facts_row import FactsRow
from jobkit.book.cache.store import Cache, CheckRow, JobRow, SearchRow
from jobkit.book.logs.load import read_load_log
from jobkit.book.logs.thermocouple import read_heat_log
from jobkit.book.logs.trouble import LogTrouble
from jobkit.book.merge.whole import encoded, merge
from jobkit.book.read.bench_of import bench_of
from jobkit.book.read.load import load_job
from jobkit.book.toml.parse import TomlError, decode, parse
from jobkit.book.toml.positions import positions
from jobkit.jobs.bench import Bench
from jobkit.lint.check.one_file import alone, check_job
from jobkit.lint.rules.photo_place import has_place
from jobkit.reckon.memory.log_report import report_on
from jobkit.textconv import converted
from jobkit.units.errors import MisuseError
from jobkit.units.limit import parse_limit
from jobkit.units.quantity import parse_quantity, plain
from tests.books import EXAMPLE
from tests.fuzz.editor_targets import message, messages, shown

_Read = TypeVar("_Read")

JOB = "jobs/2026/K26-0047.toml"
CUT = b"\n=====\n"
"""Between the texts of one input."""


class Target(NamedTuple):
    """What is tried with any bytes, and the good inputs that a search begins with."""

    run: Callable[[bytes], None]
    seeds: Callable[[], Iterator[bytes]]


def _text(data: bytes) -> str:
    return data.decode("utf-8", "surrogateescape").replace("\r", "")


def _tried(read: Callable[..., _Read], *words: Any) -> _Read | MisuseError:
    """Give what was read, or the error that jobkit prints; any other error is a fault."""
    try:
        return read(*words)
    except MisuseError as error:
        return error


def quantity(data: bytes) -> None:
    """A quantity is read exactly or refused with a way to fix it; what is read is written so that it reads the same."""
    kind, _, text = _text(data).partition("|")
    read = _tried(parse_quantity, text, kind or None)
    if isinstance(read, MisuseError):
        assert read.mend
        return
    assert parse_quantity(plain(read.value, read.unit).text, kind or None).value == read.value


def limit(data: bytes) -> None:
    """A limit is read or refused with a way to fix it; what is read reads the same again."""
    kind, _, text = _text(data).partition("|")
    read = _tried(parse_limit, text, kind or None)
    if isinstance(read, MisuseError):
        assert read.mend
        return
    again = parse_limit(read.text, kind or None)
    assert (again.low, again.high, again.open) == (read.low, read.high, read.open)


def toml(data: bytes) -> None:
    """A file is read as Python's own parser reads it, or refused with a line that it has."""
    document = _tried(parse, data)
    if isinstance(document, TomlError):
        assert 1 <= document.line <= data.count(b"\n") + data.count(b"\r") + 1
        return
    with suppress(tomllib.TOMLDecodeError, RecursionError):
        assert _same(document, _plain(tomllib.loads(decode(data).removeprefix("\ufeff"))))


def place(data: bytes) -> None:
    """Every value of a good file has a place, and no text is too odd to be searched for places."""
    text = _text(data)
    found = positions(text)
    for path in found:
        assert 1 <= found[path].line <= text.count("\n") + 1
    with suppress(TomlError):
        for path in _paths(parse(data)):
            assert path in found


def job(data: bytes) -> None:
    """Any job file can be checked, and each finding has a line of the file."""
    loaded = load_job(JOB, data)
    lines = data.count(b"\n") + data.count(b"\r") + 1
    for finding in check_job(loaded, alone(_bench())).findings:
        assert 0 <= finding.line <= lines
        assert "\n" not in finding.message


def textconv(data: bytes) -> None:
    """Whatever a job file holds, git is shown a text."""
    converted(data, [EXAMPLE])


def merged(data: bytes) -> None:
    """Any three texts can be merged, and a clean merge of good files is a good file.

    Where one side changed nothing, the merge is the other side; where both did the same, it is what they did.
    """
    base, ours, theirs = ([_text(part) for part in data.split(CUT, 2)] + ["", ""])[:3]
    both = merge(base, ours, theirs)
    if not all(map(_is_toml, (base, ours, theirs))):
        return
    assert not both.clean or _is_toml(both.text)
    for one, other in ((ours, base), (base, ours), (ours, ours)):
        same = merge(base, one, other)
        assert same.clean
        assert parse(encoded(same.text)) == parse(encoded(ours))


def memory_log(data: bytes) -> None:
    """A memory log is counted or refused; no more rows are skipped than there are."""
    report = report_on(io.BytesIO(data))
    if isinstance(report, LogTrouble):
        assert report.words()
    else:
        assert 0 <= report.skipped <= report.rows
        assert report.errors <= report.words


def load_log(data: bytes) -> None:
    """A load log is read or refused; every column has a value or a gap for each time, and time never falls."""
    log = read_load_log(io.BytesIO(data))
    if isinstance(log, LogTrouble):
        assert log.words()
        return
    times = list(log.times)
    assert times == sorted(times)
    assert all(len(column.values) == len(times) for column in log.columns)


def heat_log(data: bytes) -> None:
    """A thermocouple log is read or refused; each column is whole or says why not, and time never falls."""
    log = read_heat_log(io.BytesIO(data))
    if isinstance(log, LogTrouble):
        assert log.words()
        return
    times = list(log.times)
    assert times == sorted(times)
    for column in log.columns:
        assert len(column.values) == len(times) or column.refused


def photo(data: bytes) -> None:
    """Whatever a picture holds, it says where it was taken or not."""
    has_place(data)


def store(data: bytes) -> None:
    """Whatever is in the file of a store, it opens, and gives no row but those that were written."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "store.sqlite"
        path.write_bytes(data)
        kept = Cache(path)
        rows = list(kept.checks())
        assert all(row == tuple(_ROW.check) for row in rows)
        assert kept.answer("zone", "question") in {None, "Atlantic/Reykjavik"}


_ROW = JobRow(CheckRow(JOB, "4" * 40, "alder-a1"), FactsRow("[]"), SearchRow("T7"))


def _stores() -> Iterator[bytes]:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "store.sqlite"
        kept = Cache(path)
        kept.put([_ROW])
        kept.put_answer("zone", "question", "Atlantic/Reykjavik")
        with closing(sqlite3.connect(path)) as database:
            database.execute("PRAGMA page_size")
        yield path.read_bytes()


def _photos() -> Iterator[bytes]:
    """Yield the beginnings of a JPEG, a PNG and a WebP that say where they were taken, without their pictures."""
    block = bytes.fromhex(
        "49492a0008000000010025880400010000001a0000000000000001000200050003000000010000000000"
    )
    for form in (
        b"\xff\xd8\xff\xe1\x00\x40Exif\0\0",
        b"\x89PNG\r\n\x1a\n\0\0\0\x2aeXIf",
        b"RIFF\0\0\0\0WEBPEXIF\0\0\0\0",
    ):
        assert has_place(form + block)
        yield form + block


def _files(*patterns: str) -> Callable[[], Iterator[bytes]]:
    return lambda: (path.read_bytes() for one in patterns for path in sorted(EXAMPLE.glob(one)))


def _edits() -> Iterator[bytes]:
    """Yield each example job with what two people made of it at the same time."""
    for content in _files("jobs/2026/K26-00*.toml")():
        text = content.decode()
        ours = text.replace("[dates]\n", "[dates]\npromised = 2026-11-30\n", 1) + _NOTE.format(
            hour=9, text="ours"
        )
        theirs = text.replace('title = "', 'title = "Again: ', 1) + _NOTE.format(hour=10, text="theirs")
        yield CUT.join(one.encode() for one in (text, ours, theirs))


_NOTE = '\n[[note]]\nat = 2026-11-20T{hour:02}:00:00\ntext = "{text}"\n'


def _words(*texts: str) -> Callable[[], Iterator[bytes]]:
    return lambda: (text.encode() for text in texts)


_QUANTITIES = (
    "|23.4 Ω",
    "|46 mΩ",
    "|−40 °C",
    "resistance|4K7",
    "|1.35 V",
    "|OL",
    "capacitance|2u2",
    "|4.7 uF",
)
_LIMITS = (
    *("|10 Ω .. 60 Ω", "|>= 200 Ω", "|230 W +/- 10 %", "|1.35 V ± 5 %", "|OL", "resistance|4K7 .. 5K1"),
    *("|1.0 V +20/-10 mV", "|1.0 V -10/+20 mV", "|<= 95 °C"),
)

TARGETS: Mapping[str, Target] = {
    "quantity": Target(quantity, _words(*_QUANTITIES)),
    "limit": Target(limit, _words(*_LIMITS)),
    "toml": Target(toml, _files("*.toml", "boards/*.toml", "jobs/2026/*.toml")),
    "place": Target(place, _files("*.toml", "boards/*.toml", "jobs/2026/*.toml")),
    "job": Target(job, _files("jobs/2026/*.toml")),
    "textconv": Target(textconv, _files("jobs/2026/*.toml")),
    "merge": Target(merged, _edits),
    "memory-log": Target(memory_log, _files("jobs/2026/*/memory*.csv")),
    "load-log": Target(load_log, _files("jobs/2026/*/load*.csv")),
    "heat-log": Target(heat_log, _files("jobs/2026/*/heat*.csv")),
    "editor-message": Target(message, messages),
    "editor-text": Target(shown, _files("*.toml", "boards/*.toml", "jobs/2026/*.toml")),
    "photo": Target(photo, _photos),
    "store": Target(store, _stores),
}


@cache
def _bench() -> Bench:
    return bench_of((EXAMPLE,), "tarnhow-t7-16")


def _is_toml(text: str) -> bool:
    return not isinstance(_tried(parse, encoded(text)), MisuseError)


def _paths(node: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    inner = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, value in inner:
        yield (*path, key)
        yield from _paths(value, (*path, key))


def _plain(node: Any) -> Any:
    """Write dates and times of a document as text, as jobkit does."""
    if isinstance(node, dict):
        return {key: _plain(value) for key, value in node.items()}
    if isinstance(node, list):
        return [_plain(value) for value in node]
    return node.isoformat() if isinstance(node, date | datetime | time) else node


def _same(one: Any, other: Any) -> bool:
    """Compare documents; nan is nan, and a time is compared by its digits, however its zone is written."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(_same(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_same, one, other))
    if isinstance(one, float) and isinstance(other, float):
        return one == other or (one != one and other != other)  # noqa: PLR0124 - nan
    if isinstance(one, str) and isinstance(other, str):
        return one == other or one[:19] == other[:19]
    return bool(one == other)
