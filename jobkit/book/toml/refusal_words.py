"""The parser's messages in words that fix the mistake; what is plain already stays as it is."""

import re
from collections.abc import Callable

_Words = tuple[str, str]

_COMMA_NUMBER = re.compile(r"[+-]?[0-9]+,[0-9]+")
_VALUE = re.compile(r"=[ \t]*([^#\r\n]*)")
_KEY = re.compile(r"[^\s\[\]=.]+")
_KEY_OR_REMARK = "write key = value, or put # before a comment"
_WHOLE = 'put the whole value between quotes: "..."'
_TYPOGRAPHIC = "“”„‘’‚«»"


def explained(message: str, text: str, at: int) -> tuple[str, str]:
    """Return what is wrong and how to fix it, for the parser's `message` about the offset `at` of `text`."""
    for beginning, words in _WORDS.items():
        if message.startswith(beginning):
            return words(text, at) if callable(words) else words
    plain, _, expected = message.partition(", expected ")
    return plain, f"expected here: {expected}" if expected not in ("", "nothing") else "correct this place"


def _line(text: str, at: int) -> str:
    end = text.find("\n", at)
    return text[text.rfind("\n", 0, at) + 1 : len(text) if end < 0 else end]


def _named(text: str, at: int) -> str:
    key = _KEY.match(text, at)
    return key[0] if key else "this key"


def _unquoted(text: str, at: int) -> _Words:
    line = _line(text, at)
    found = _VALUE.search(line)
    value = found[1].strip() if found else ""
    if any(quote in value for quote in _TYPOGRAPHIC):
        return "the value is in typographic quotes", 'use straight quotes: "..."'
    if not found or value[:1] in ("[", "{"):
        return (
            "a value is missing here, or has no quotes or comma",
            'separate values with commas, quote words: "..."',
        )
    if not value:
        return "the value after = is missing", "write the value, or delete the line"
    if '"' in value or "\\" in value:
        return "the value needs quotes", _WHOLE
    return f"the value {value} needs quotes", f'write "{value}"'


def _left_over(text: str, at: int) -> _Words:
    line = _line(text, at)
    found = _VALUE.search(line)
    value = found[1].strip() if found else ""
    if _COMMA_NUMBER.fullmatch(value):
        return f"{value} has a decimal comma", f"write {value.replace(',', '.')}"
    if value and '"' not in value and "'" not in value:
        return f"the value {value} needs quotes", f'write "{value}"'
    return "something follows the value on its line", "put the whole value between one pair of quotes"


def _twice(text: str, at: int) -> _Words:
    name = _named(text, at)
    if text[text.rfind("\n", 0, at) + 1 : at].lstrip().startswith("["):
        return (
            f"the table {name} is there twice",
            f"put the keys together under one of them, or write each as [[{name}]] if it is a list",
        )
    return f"{name} is there twice", "delete one of the two"


def _no_value(text: str, at: int) -> _Words:
    line = _line(text, at).strip()
    key, equals, _ = line.partition("=")
    if equals and " " in key.strip():
        return "a key of several words needs quotes", f'write "{key.strip()}" = ...'
    if " " in line and not equals:
        return "this line is not a key with its value and not a comment", _KEY_OR_REMARK
    return "this key has no value", _KEY_OR_REMARK


def _in_text(text: str, at: int) -> _Words:
    found = text[at : at + 1]
    if found and not found.isprintable():
        return f"the control character U+{ord(found):04X} is here", "delete it"
    if text[text.rfind("\n", 0, at) + 1 : at].rstrip().endswith("="):
        return "the value after = is missing", "write the value, or delete the line"
    return "the text does not end", "close it with the quote it begins with"


def _bad_key(text: str, at: int) -> _Words:
    return (
        f"the key {_named(text, at)} needs quotes",
        f'write "{_named(text, at)}", or use only a-z, 0-9, - and _',
    )


_TOO_LARGE = ("the number is too large", "correct it, or put it between quotes")
_DEEP = ("tables or lists are nested too deeply", "use fewer levels")
_DATE = ("there is no such date or time", "write dates as 2026-10-22, with a time 2026-10-22T10:05:00")
_TIME = ("this is not a time of day", "write times as 10:05:00, seconds up to 59")

_WORDS: dict[str, _Words | Callable[[str, int], _Words]] = {
    "string values must be quoted": _unquoted,
    "unexpected key or value": _left_over,
    "duplicate key": _twice,
    "key with no value": _no_value,
    "unquoted keys cannot be empty": (
        "a key is missing here",
        "write the key, or delete what is left of the line",
    ),
    "invalid unquoted key": _bad_key,
    "invalid basic string": _in_text,
    "invalid literal string": _in_text,
    "invalid multi-line basic string": _in_text,
    "invalid multi-line literal string": _in_text,
    "invalid comment character": _in_text,
    "missing opening quote": (
        "the value has no quote where it begins",
        _WHOLE,
    ),
    "missing escaped value": (
        "a backslash in double quotes begins an escape",
        "write \\\\ for a backslash, or use single quotes",
    ),
    "invalid value, expected unicode": (
        "this is not a character's number",
        "correct the escape after the backslash",
    ),
    "unclosed table": ("the table's name does not end with ]", "write [name]"),
    "unclosed array table": ("the table's name does not end with ]]", "write [[name]]"),
    "unclosed array": ("the list does not end", "close it with ]"),
    "unclosed inline table": ("the table in braces does not end", "close it with }"),
    "missing comma between": ("a comma is missing", "put a comma between the values"),
    "extra assignment": ("a comma is missing before this key, or a quote", "put a comma between the pairs"),
    "extra comma": ("there is a comma too many", "delete one comma"),
    "unexpected leading zero": (
        "a number cannot begin with 0",
        "leave the zero out, or put the value between quotes",
    ),
    "invalid boolean": ("yes and no are written true and false", "write true or false, in small letters"),
    "cannot extend value": (
        "this name has a value already and cannot be a table too",
        "delete or rename one of the two",
    ),
    "carriage return must": ("a line ends with a lone carriage return", "save the file with usual line ends"),
    "integer number overflowed": _TOO_LARGE,
    "floating-point number overflowed": _TOO_LARGE,
    "cannot recurse further": _DEEP,
    "recursion limit": _DEEP,
    "ValueError: second": _TIME,
    "invalid date": _DATE,
    "invalid time": _DATE,
    "invalid offset": _DATE,
    "ValueError: year": ("there is no year 0", "correct the date"),
}
