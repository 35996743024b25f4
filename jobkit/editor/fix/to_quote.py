"""A value in a form that can be read: with quotation marks, with a decimal point."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import partial

from lsprotocol.types import TextEdit

from jobkit.book import edit
from jobkit.book.read.load import load_job
from jobkit.book.schema.gate import check
from jobkit.book.toml.parse import parse
from jobkit.editor.fix.change import Change
from jobkit.editor.shown.open_file import OpenFile
from jobkit.jobs.finding import Finding, Place

_WRITE = re.compile(r'write ("[^"]*"|[0-9.+-]+)$')
_CLOSE = re.compile(r"close it with ([\"'])$")
_BARE = re.compile(r"=[ \t]*([^\s\"'#=\[{][^#\r\n]*?)[ \t]*(?:#[^\r\n]*)?$")
_NOT_A_TEXT = re.compile(r"must be text in quotes, not ([0-9][0-9.]*)$")


def to_quote(file: OpenFile, finding: Finding) -> Iterator[tuple[str, TextEdit]]:
    """Yield the value as the parser takes it, on the line on which it stopped, with what the fix does."""
    error = file.readable.error
    if not error or (finding.line, finding.column) != (error.line, error.column):
        return
    new, unclosed = _WRITE.match(finding.mend), _CLOSE.match(finding.mend)
    start = file.text.line_start(file.text.found_at(finding.line, 1))
    end = file.text.line_end(start)
    bare = _BARE.search(file.text.text[start:end]) if new else None
    if new and bare and bare[1] in {new[1][1:-1], new[1].replace(".", ",")}:
        yield f"Write {new[1]}", TextEdit(file.text.range(start + bare.start(1), start + bare.end(1)), new[1])
    elif unclosed:
        yield f"Close the text with {unclosed[1]}", TextEdit(file.text.range(end, end), unclosed[1])


def number_to_quote(file: OpenFile, finding: Finding) -> Iterator[Change]:
    """Yield the change of a number into a text where the schema takes that, as of a ball that is named by a number."""
    number = _NOT_A_TEXT.search(finding.message)
    if number and _is_taken(file, finding.place, number[1]):
        yield Change(f'Write "{number[1]}"', partial(edit.set_key, path=finding.place, value=number[1]))


def _is_taken(file: OpenFile, place: Place, value: str) -> bool:
    new = edit.set_key(file.readable.text, place, value).encode("utf-8", "surrogatepass")
    troubles = load_job(file.path, new).troubles if file.kind == "job" else check(file.kind, parse(new))
    return all(one.place != place for one in troubles)
