"""A writer of TOML that is right and looks odd: every form, spacing and remark the standard allows.

What it may write is taken from the grammar of TOML 1.1 (toml.abnf); a test holds it to the parser.
"""

from collections.abc import Callable, Iterator
from datetime import date, datetime, time
from functools import partial
from random import Random
from typing import Any, NamedTuple

KEYS = (
    "at", "what", "reading", "a", "b", "c-d", "e_f", "1", "3",
    "hot spot", "", "a.b", 'quote"s', "it's", "Ω", "back\\slash", "tab\t", "#no", "[x]", "=", "\u00e9\n",
)  # fmt: skip
_WORDS = (
    "plain", "23.4 Ω", "a = 1", "[[reading]]", "# no remark", "it's", 'say "no"', "back\\slash", "", " ",
    "tab\there", "line\n[a.b]\nx = 1\n", "'''", '"""', "\n", '"', "\\", "µ\u200b😀", "end\\\n", "\x7f\x01",
)  # fmt: skip
_REMARKS = ("# plain", "#", "# [[reading]]", '# "open', "# a = 1", "# '''", "# µΩ😀", "#\t= ] }")
_DATES = (
    date(2026, 10, 22),
    datetime(2026, 10, 22, 10, 5),
    datetime(1, 1, 1, 23, 59, 59, 500000),
    time(10, 5),
)

PIECES = (
    "a", "b", "=", " ", "\t", '"', "'", '"""', "'''", "[", "]", "[[", "]]", "{", "}", ",", ".", "#", "+", "1", "é",
    "\n", "\r\n", "\r", "\\", "\\u", "\\u00e9", "\ufeff", "\x00", "2026-10-22", "T10:05", "nan", "true",
    "<<<<<<< ", "=======\n",
)  # fmt: skip
"""What a jumble is made of, that is TOML only by chance."""


class Odd(NamedTuple):
    """A text, what it says, and how each key is spelled in it."""

    text: str
    doc: dict[str, Any]
    spelled: dict[str, set[str]]


def odd(seed: int) -> Odd:
    """Write a random document in a random way."""
    writer = _Writer(Random(seed))  # noqa: S311 - nothing secret
    doc = writer.table(0)
    text = "".join(writer.document(doc))
    newline = writer.chance.choice(("\n", "\n", "\r\n"))
    if newline == "\r\n":
        text = text.replace("\n", "\r\n")
        doc = _with_newline(doc)
    if writer.chance.random() < 0.2:
        text = text.rstrip("\r\n") if not text.endswith(("\n\n", "\r\n\r\n")) else text
    if writer.chance.random() < 0.2:
        text = "\ufeff" + text
    return Odd(text, doc, writer.spelled)


def paths(doc: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], Any]]:
    """Walk through every path of a document, with its value."""
    for key, value in doc.items() if isinstance(doc, dict) else enumerate(doc):
        yield (*path, key), value
        if isinstance(value, dict | list):
            yield from paths(value, (*path, key))


class Spread(str):
    """A text that is written over several lines as it stands, so its line ends follow the file's."""

    __slots__ = ()


def _with_newline(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _with_newline(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_with_newline(inner) for inner in value]
    return str(value).replace("\n", "\r\n") if isinstance(value, Spread) else value


class _Writer:
    def __init__(self, chance: Random) -> None:
        self.chance = chance
        self.count = 0
        self.spelled: dict[str, set[str]] = {}
        self.waiting: list[Callable[[], Iterator[str]]] = []  # sections that may stand anywhere

    # What is said

    def table(self, depth: int) -> dict[str, Any]:
        keys = self.chance.sample(KEYS, self.chance.randrange(0 if depth else 2, 6))
        return {key: self.value(depth + 1) for key in keys}

    def value(self, depth: int) -> Any:
        kind = self.chance.random()
        if depth < 4 and kind < 0.25:
            return self.table(depth)
        if depth < 4 and kind < 0.4:
            return [self.table(depth) for _ in range(self.chance.randrange(4))]
        if depth < 4 and kind < 0.5:
            return [self.value(depth + 1) for _ in range(self.chance.randrange(4))]
        return self.scalar()

    def scalar(self) -> Any:
        """Return a value that stands only once in the document, as far as its kind allows."""
        self.count += 1
        kind = self.chance.randrange(8)
        if kind == 0:
            return self.chance.choice(_DATES)
        if kind == 1:
            return self.chance.choice((True, False))
        if kind == 2:
            return self.count + 0.25
        if kind == 3:
            return self.count
        words = f"{self.chance.choice(_WORDS)}{self.count}{self.chance.choice(_WORDS)}"
        spread = "\n" in words and self.chance.random() < 0.5 and words.isprintable() is False
        return Spread(words) if spread and "\x01" not in words and "\x7f" not in words else words

    # How it is written

    def document(self, doc: dict[str, Any]) -> Iterator[str]:
        yield from self.section(doc, (), header="", in_entry=False)
        while self.waiting:
            yield from self.waiting.pop(self.chance.randrange(len(self.waiting)))()
        yield from self.idle()

    def section(
        self, table: dict[str, Any], path: tuple[str, ...], header: str, *, in_entry: bool
    ) -> Iterator[str]:
        lines, later = self.sorted_out(table, path, in_entry=in_entry)
        own = bool(lines) or not later or not header or header.startswith("[[") or self.chance.random() < 0.5
        if own and header:
            yield from self.idle()
            yield f"{self.space()}{header}{self.line_end()}"
        for line in lines:
            yield from self.idle()
            yield f"{self.space()}{line}{self.line_end()}"
        if not in_entry:
            self.waiting += later
            return
        for write in self.shuffled(later):
            yield from write()

    def sorted_out(
        self, table: dict[str, Any], path: tuple[str, ...], *, in_entry: bool
    ) -> tuple[list[str], list[Callable[[], Iterator[str]]]]:
        """Part a table into lines of its own and sections that must come after them."""
        lines: list[str] = []
        later: list[Callable[[], Iterator[str]]] = []
        for key, value in table.items():
            inner = (*path, key)
            if isinstance(value, dict) and self.chance.random() < 0.5:
                later.append(partial(self.section, value, inner, self.header(inner, "[]"), in_entry=in_entry))
            elif _is_tables(value) and self.chance.random() < 0.6:
                later.append(partial(self.entries, value, inner))
            elif isinstance(value, dict) and value and self.chance.random() < 0.5:
                lines += self.dotted(value, self.key(key))
            else:
                lines.append(f"{self.key(key)}{self.space()}={self.space()}{self.written(value)}")
        return self.shuffled(lines), later

    def entries(self, tables: list[dict[str, Any]], path: tuple[str, ...]) -> Iterator[str]:
        for table in tables:
            yield from self.section(table, path, self.header(path, "[[]]"), in_entry=True)

    def header(self, path: tuple[str, ...], brackets: str) -> str:
        half = len(brackets) // 2
        dot = f"{self.space()}.{self.space()}"
        name = dot.join(self.key(part) for part in path)
        return f"{brackets[:half]}{self.space()}{name}{self.space()}{brackets[half:]}"

    def dotted(self, table: dict[str, Any], front: str) -> Iterator[str]:
        for key, value in table.items():
            name = f"{front}{self.space()}.{self.space()}{self.key(key)}"
            if isinstance(value, dict) and value and self.chance.random() < 0.5:
                yield from self.dotted(value, name)
            else:
                yield f"{name}{self.space()}={self.space()}{self.written(value)}"

    def written(self, value: Any) -> str:
        if isinstance(value, dict):
            pairs = [
                f"{self.key(key)}{self.space()}={self.space()}{self.written(v)}" for key, v in value.items()
            ]
            return self.listed("{", pairs, "}")
        if isinstance(value, list):
            return self.listed("[", [self.written(inner) for inner in value], "]")
        return self.plain(value)

    def listed(self, opener: str, items: list[str], closer: str) -> str:
        comma = self.chance.choice(("", f"{self.gap()},")) if items else ""
        inner = ",".join(f"{self.gap()}{item}{self.gap()}" for item in items)
        return f"{opener}{inner}{comma}{self.gap()}{closer}"

    def plain(self, value: Any) -> str:
        if isinstance(value, str):
            return self.quoted(value)
        if isinstance(value, bool):
            return str(value).lower()
        if isinstance(value, int):
            return self.chance.choice((str(value), hex(value), oct(value), bin(value), f"+{value}"))
        if isinstance(value, float):
            return self.chance.choice((repr(value), f"+{value}", f"{value}e0", f"{value}E+00"))
        return (
            value.isoformat().replace("T", self.chance.choice("T t"))
            if isinstance(value, datetime)
            else value.isoformat()
        )

    def quoted(self, words: str) -> str:
        if isinstance(words, Spread):
            return '"""\n' + words.replace("\\", "\\\\").replace('"', '\\"') + '"""'
        control = any(not letter.isprintable() and letter not in "\t\u200b" for letter in words)
        forms = [
            _escaped(words),
            f'"""{_escaped(words)[1:-1]}"""',
            f'"""\\\n  \n\t{_escaped(words)[1:-1]}"""',
        ]
        if words[:1] in (" ", "\t", "\n"):
            forms.pop()
        if not control and "'" not in words:
            forms.append(f"'{words}'")
        if not control and "'''" not in words and not words.endswith("'"):
            forms += [f"'''{words}'''", f"'''\n{words}'''"]
        return self.chance.choice(forms)

    def key(self, name: str) -> str:
        forms = [_escaped(name)]
        if name and all(letter.isascii() and (letter.isalnum() or letter in "-_") for letter in name):
            forms += [name, name, name]
        if "'" not in name and name.isprintable():
            forms.append(f"'{name}'")
        spelled = self.chance.choice(forms)
        self.spelled.setdefault(name, set()).add(spelled)
        return spelled

    def space(self) -> str:
        return self.chance.choice(("", " ", " ", "\t", "  "))

    def gap(self) -> str:
        return self.chance.choice(("", " ", " ", "\n", " \n\t", f" {self.chance.choice(_REMARKS)}\n"))

    def line_end(self) -> str:
        return self.chance.choice(("", "", "", " ", f" {self.chance.choice(_REMARKS)}")) + "\n"

    def idle(self) -> Iterator[str]:
        while self.chance.random() < 0.3:
            yield self.chance.choice(("\n", " \t\n", f"{self.space()}{self.chance.choice(_REMARKS)}\n"))

    def shuffled(self, items: list[Any]) -> list[Any]:
        return self.chance.sample(items, len(items))


def _is_tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(inner, dict) for inner in value)


def _escaped(words: str) -> str:
    letters = (
        _ESCAPES.get(letter, letter if letter.isprintable() else f"\\U{ord(letter):08X}") for letter in words
    )
    return f'"{"".join(letters)}"'


_ESCAPES = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t", "\x01": "\\x01"}
