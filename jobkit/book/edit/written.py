"""Values, keys and blocks as TOML text.

tomlkit writes every key and every plain value, because hand-made escapes are where broken files come from. It is given
only what is new: it never sees, and so cannot move, what a technician wrote.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, time
from decimal import Decimal

import tomlkit

from jobkit.book.toml.outline import KeyPath
from jobkit.units.errors import MisuseError

Value = (
    str | bool | int | float | Decimal | date | datetime | time | Sequence["Value"] | Mapping[str, "Value"]
)
"""What can be written: numbers and texts, dates and times, and lists and tables of them."""


class EditError(MisuseError):
    """A file cannot be changed as asked without touching what must stay."""


def written(value: Value) -> str:
    """Return `value` as it is behind an equals sign, on one line.

    Text is in double quotes, in single ones where that saves escapes. Raises `EditError` for text that UTF-8 cannot
    hold and for decimals that are no number.
    """
    if isinstance(value, Mapping):
        pairs = ", ".join(pair((name,), inner) for name, inner in value.items())
        return f"{{ {pairs} }}" if pairs else "{}"
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, Sequence):
        return f"[{', '.join(written(inner) for inner in value)}]"
    if isinstance(value, Decimal):
        return _decimal(value)
    return tomlkit.item(value).as_string()


def pair(keys: Iterable[str], value: Value) -> str:
    """Return one `key = value`, the key dotted where there are several."""
    return f"{dotted(keys)} = {written(value)}"


def dotted(path: Iterable[str | int]) -> str:
    """Return a path as a header or a dotted key names it: quoted where needed, list indices left out."""
    return ".".join(_key(name) for name in path if isinstance(name, str))


def block(path: KeyPath, entry: Mapping[str, Value], *, listed: bool, lined_up: bool) -> list[str]:
    """Return the lines of a table: its header, in double brackets where it is `listed`, and its keys in order.

    The equals signs are in one column where they are `lined_up`.
    """
    header = f"[[{dotted(path)}]]" if listed else f"[{dotted(path)}]"
    keys = [_key(name) for name in entry]
    width = max(map(len, keys), default=0) if lined_up else 0
    return [
        header,
        *(f"{key.ljust(width)} = {written(value)}" for key, value in zip(keys, entry.values(), strict=True)),
    ]


def _key(name: str) -> str:
    return tomlkit.key(_utf_8(name)).as_string()


def _text(value: str) -> str:
    simple = _utf_8(value).isprintable() and "'" not in value
    return tomlkit.string(value, literal=simple and ('"' in value or "\\" in value)).as_string()


def inside_quotes(text: str, quote: str) -> str:
    r"""Return a text as it is between quotation marks that are there already; raises `EditError` where it cannot be.

    >>> inside_quotes('0.1" pin', '"')
    '0.1\\" pin'
    """
    if quote == "'" and ("'" in text or not text.isprintable()):
        raise EditError(f"{text!r} cannot be between single quotation marks", 'use "')
    return tomlkit.string(_utf_8(text), literal=quote == "'").as_string()[1:-1]


def _decimal(value: Decimal) -> str:
    if not value.is_finite():
        raise EditError(f"{value} is not a number that can be written", "give a number")
    return f"{value:f}"


def _utf_8(text: str) -> str:
    try:
        text.encode()
    except UnicodeEncodeError:
        shown = text.encode(errors="replace").decode()
        raise EditError(f"{shown!r} has bytes that are not text", "type the text again, in UTF-8") from None
    return text
