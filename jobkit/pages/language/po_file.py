r"""Read the .po file of a catalogue, which may come from a stranger: what is wrong in it is told by its line.

The format: GNU gettext manual, "PO Files" (from memory). A phrase marked as fuzzy, or without words, counts as lacking.
Babel's reader was tried: it loses a phrase whose quotation mark is not closed, and gives no line.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError
from jobkit.units.slip import quoted

LARGEST = 1_000_000
"""A catalogue has no more bytes."""

_LINE = re.compile(r'(?:(msgctxt|msgid_plural|msgid|msgstr(?:\[[0-9]\])?)\s+)?"((?:[^"\\]|\\.)*)"')
_ESCAPED = re.compile(r"\\(.)")
_LETTERS = {"n": "\n", "t": "\t", '"': '"', "\\": "\\"}
_BEFORE = {
    "msgctxt": "",
    "msgid": "",
    "msgid_plural": "msgid",
    "msgstr": "msgid",
    "msgstr[0]": "msgid_plural",
}
"""What has to be there before a keyword, within a phrase."""


class CatalogueError(MisuseError):
    """A catalogue cannot be used."""


class Entry(NamedTuple):
    """A phrase: the English words, those for another number than one or "", and the words of the language by form.

    `forms` is empty where the phrase is not translated. `line` is where it begins.
    """

    context: str
    one: str
    many: str
    forms: tuple[str, ...]
    line: int


def read_po(path: str, content: bytes) -> tuple[Entry, ...]:
    """Read the phrases of a file, its header among them as the phrase ""; raises CatalogueError."""
    if len(content) > LARGEST:
        raise CatalogueError(f"{path} is larger than {LARGEST // 1000} kB", "shorten it")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as broken:
        line = content.count(b"\n", 0, broken.start) + 1
        raise CatalogueError(f"{path} line {line}: not UTF-8", "save the file as UTF-8") from broken
    entries: dict[tuple[str, str], Entry] = {}
    for entry in _entries(path, text):
        before = entries.get(entry[:2])
        if before:
            raise CatalogueError(
                f"{path} line {entry.line}: {quoted(entry.one)} is there already, in line {before.line}",
                "take one of them out",
            )
        entries[entry[:2]] = entry
    return tuple(entries.values())


class _Draft:
    """A phrase that is being read."""

    def __init__(self, line: int) -> None:
        self.line = line
        self.is_fuzzy = False
        self.texts: dict[str, str] = {}

    def entry(self, path: str) -> Entry:
        """Make the phrase; raises CatalogueError where its words are not there."""
        forms = [text for keyword, text in self.texts.items() if keyword.startswith("msgstr")]
        if not forms:
            raise CatalogueError(
                f"{path} line {self.line}: the phrase has no msgstr", 'write msgstr "…" below it'
            )
        kept = tuple(forms) if all(forms) and not self.is_fuzzy else ()
        texts = self.texts
        return Entry(texts.get("msgctxt", ""), texts["msgid"], texts.get("msgid_plural", ""), kept, self.line)


def _entries(path: str, text: str) -> Iterator[Entry]:
    draft, last, is_fuzzy = _Draft(1), "", False
    for number, line in enumerate(map(str.strip, text.split("\n")), 1):
        if not line or line.startswith("#"):
            is_fuzzy = is_fuzzy or (line.startswith("#,") and "fuzzy" in line)
            continue
        keyword, words = _parts(path, number, line)
        if keyword in {"msgctxt", "msgid"} and last.startswith("msgstr"):
            yield draft.entry(path)
            draft, last = _Draft(number), ""
        if keyword:
            _check_order(path, number, keyword, draft)
            draft.texts[keyword], last = words, keyword
            draft.is_fuzzy, is_fuzzy = draft.is_fuzzy or is_fuzzy, False
        elif last:
            draft.texts[last] += words
        else:
            raise CatalogueError(f"{path} line {number}: words without msgid", 'write msgid "…" first')
    if draft.texts:
        yield draft.entry(path)


def _parts(path: str, number: int, line: str) -> tuple[str, str]:
    """Read the keyword of a line, "" for one that goes on, and its words."""
    found = _LINE.fullmatch(line)
    if found is None:
        raise CatalogueError(
            f"{path} line {number}: not a line of a .po file",
            'write msgid "…" and msgstr "…", and \\" for a quotation mark within',
        )
    return found[1] or "", _ESCAPED.sub(lambda escape: _LETTERS.get(escape[1], escape[0]), found[2])


def _check_order(path: str, number: int, keyword: str, draft: _Draft) -> None:
    """Refuse a keyword that has no place in the phrase that is being read."""
    needed = _BEFORE.get(keyword, f"msgstr[{int(keyword[-2]) - 1}]" if keyword.endswith("]") else "")
    is_single = keyword == "msgstr" and "msgid_plural" in draft.texts
    if keyword in draft.texts or (needed and needed not in draft.texts) or is_single:
        raise CatalogueError(
            f"{path} line {number}: {keyword} is out of place",
            'a phrase is msgid "…" and msgstr "…"; one with msgid_plural has msgstr[0], msgstr[1] and so on',
        )


def header(entries: Sequence[Entry]) -> dict[str, str]:
    """Read the fields of the header, such as Plural-Forms; empty where there is none."""
    found = next((entry.forms[0] for entry in entries if not entry.one and entry.forms), "")
    fields = (line.partition(":") for line in found.splitlines())
    return {name.strip().casefold(): value.strip() for name, colon, value in fields if colon}
