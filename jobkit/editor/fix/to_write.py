"""What a finding says to write, written: a value, the name of a key or of a table, a key beside it, quotation marks."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import partial

from jobkit.book import edit
from jobkit.book.edit.headers import rebracket, rename_table
from jobkit.editor.fix.change import Change
from jobkit.editor.names.tables import keys_at
from jobkit.editor.shown.open_file import OpenFile
from jobkit.jobs.finding import Finding, Place

_NAMES = re.compile(r'write ((?:"[^"]*"(?:, | or )?)+)')
_KEY_AND_VALUE = re.compile(r'(?:^|, or )(?:write|say) (\w+) = "([^"]*)"')
_BRACKETS = re.compile(r"write (\[\[?)[\w.]+\]\]?$")
_OTHER_KINDS = re.compile(r"or change the kind to ([\w, ]+)$")
_ENDS = re.compile(r'"(.+?) \.\. (.+?)"')


def to_write(file: OpenFile, finding: Finding) -> Iterator[Change]:
    """Yield the changes to what a finding says to write, in the place that it is about."""
    place, mend = finding.place, finding.mend
    if not place:
        return
    if named := _KEY_AND_VALUE.search(mend):
        yield _value((*place[:-1], named[1]), named[2], f'{named[1]} = "{named[2]}"')
    elif brackets := _BRACKETS.match(mend):
        yield Change(_capital(mend), partial(rebracket, path=place, listed=brackets[1] == "[["))
    elif (names := _NAMES.match(mend)) and place in file.text.outline.spans:
        for name in re.findall(r'"([^"]*)"', names[1]):
            yield from _named(file, finding, name)
    elif (ends := _ENDS.search(finding.message)) and mend.startswith("swap the ends"):
        yield _value(place, f"{ends[2]} .. {ends[1]}")
    if (others := _OTHER_KINDS.search(mend)) and _has_kind(file, place):
        for kind in re.split(", | or ", others[1]):
            yield _value((*place[:-1], "kind"), kind, f'kind = "{kind}"')


def _has_kind(file: OpenFile, place: Place) -> bool:
    names = [one for one in place[:-1] if isinstance(one, str)]
    return any(one.name == "kind" for one in keys_at(file.kind, names))


def _value(place: Place, value: str, title: str = "") -> Change:
    return Change(f"""Write {title or f'"{value}"'}""", partial(edit.set_key, path=place, value=value))


def _named(file: OpenFile, finding: Finding, name: str) -> Iterator[Change]:
    """Yield the change to a name: of a table in its headers, of a key, or a value that is a text."""
    place = finding.place
    span = file.text.outline.spans[place]
    is_unknown = finding.message.startswith("unknown key")
    if is_unknown and span.form == "header":
        yield Change(f"Write {_header(file, place, name)}", partial(rename_table, path=place, name=name))
    elif is_unknown or _is_free_key(file, place):
        yield Change(f"Write {name}", partial(edit.rename_keys, paths=[place], name=name))
    elif file.text.text[span.start : span.start + 1] in {'"', "'"}:
        yield _value(place, name)


def _is_free_key(file: OpenFile, place: Place) -> bool:
    """Tell whether a key is a name that the schema leaves to you, as in `affects = { picture = 0.9 }`."""
    if not isinstance(place[-1], str):
        return False
    names = [one for one in place if isinstance(one, str)]
    return not keys_at(file.kind, names[:-1])


def _header(file: OpenFile, place: Place, name: str) -> str:
    names = [one for one in place[:-1] if isinstance(one, str)]
    opens, closes = ("[[", "]]") if (*place, 0) in file.text.outline.spans else ("[", "]")
    return f"{opens}{'.'.join((*names, name))}{closes}"


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
