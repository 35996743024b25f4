"""Write the phrases of papers as a .po file, for a bench that puts them into a language of its own."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator

from jobkit.pages.language.catalogues import built_in
from jobkit.pages.language.po_file import Entry

_HEADER = """\
# Words of papers for clients, in the language "{tag}".
# Write each phrase between the quotation marks of msgstr; {{words in braces}} stay as they are.
# What is left empty is in English.
msgid ""
msgstr ""
"Language: {tag}\\n"
"Content-Type: text/plain; charset=UTF-8\\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\\n"
"""
_LEFT_OUT = "# A phrase of your book is left out: it holds control characters.\n"
_OBEYED = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069]")
"""What a terminal or an editor would obey, but for ends of lines and tabs, which are escaped."""
_ESCAPES = str.maketrans({"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t"})


def our_phrases() -> tuple[Entry, ...]:
    """Return all phrases of our papers, as the German catalogue has them."""
    return tuple(entry for entry in built_in("de") if entry.one)


def po_header(tag: str) -> str:
    """Write the beginning of a catalogue."""
    return _HEADER.format(tag=tag)


def empty_entries(entries: Iterable[Entry], there: Collection[tuple[str, str]]) -> Iterator[str]:
    """Write phrases to be filled in, but for those that are there, by context and words."""
    for entry in entries:
        if _OBEYED.search(entry.context + entry.one + entry.many):
            yield _LEFT_OUT
        elif (entry.context, entry.one) not in there:
            yield "\n".join(_lines(entry)) + "\n"


def _lines(entry: Entry) -> Iterator[str]:
    if entry.context:
        yield f"msgctxt {_quoted(entry.context)}"
    yield f"msgid {_quoted(entry.one)}"
    if entry.many:
        yield f"msgid_plural {_quoted(entry.many)}"
        yield 'msgstr[0] ""'
        yield 'msgstr[1] ""'
    else:
        yield 'msgstr ""'


def _quoted(text: str) -> str:
    return f'"{text.translate(_ESCAPES)}"'
