"""One file of a rename: its names replaced, and an [[amended]] where it is a job that was sent."""

from __future__ import annotations

import re
from collections.abc import Sequence

from jobkit.book.edit import EditError, append_entry
from jobkit.book.read.load import load_job
from jobkit.book.toml.parse import parse_text
from jobkit.editor.names.designs import Named
from jobkit.editor.shown.edits import splice
from jobkit.editor.shown.open_book import Writer
from jobkit.editor.shown.open_file import OpenFile
from jobkit.jobs.job import PART_NAME
from jobkit.lint.rules.sealed import breaks_seal
from jobkit.named_tuple import NamedTuple

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_QUOTES = ('"', "'")

Splice = tuple[int, int, str]
"""Two offsets in a text, and what comes between them."""


class RenamedFile(NamedTuple):
    """A file, its edits in order, and whether one of them is an [[amended]]."""

    file: OpenFile
    splices: tuple[Splice, ...]
    is_amended: bool = False


def renamed_file(file: OpenFile, places: Sequence[Named], new: str, writer: Writer) -> RenamedFile:
    """Replace the names in a file; raises EditError or TomlError where it cannot be done whole."""
    if file.readable.error:
        raise file.readable.error
    once = {(one.start, one.end): one for one in places}
    splices = [(start, end, _written(file, one, new)) for (start, end), one in sorted(once.items())]
    after = _with(file.text.text, splices)
    old = places[0]
    if file.kind == "stock" and old.name in parse_text(after).get("item", {}):
        raise EditError(
            f"{old.name} is the front of several keys", f"write it as a header: [item.{old.name}]"
        )
    reason = f"the {old.role} {old.name} is called {new} now; nothing else was changed"
    amended = (
        append_entry(after, "amended", {**writer.entry(), "why": reason}) if _is_sealed(file, after) else ""
    )
    return RenamedFile(file, _joined(file.text.text, splices, amended, after), bool(amended))


def _written(file: OpenFile, named: Named, new: str) -> str:
    """Write the new name where the old one was: a bare key that is none any more gets its quotation marks."""
    if named.role == "part" and _is_in_words(file, named) and not PART_NAME.fullmatch(new):
        raise EditError(
            f"words name the part, and {new} is not read as a part in words",
            "choose letters and a number, as in U12",
        )
    return new if _is_quoted(file, named) or _BARE.fullmatch(new) else f'"{new}"'


def _is_in_words(file: OpenFile, named: Named) -> bool:
    """Tell whether a name is one of several words of a text."""
    span = file.text.outline.spans.get(named.path)
    return (
        span is not None
        and span.form == "value"
        and span.start < named.start
        and span.end - span.start > len(named.name) + 2
    )


def _is_quoted(file: OpenFile, named: Named) -> bool:
    span, text = file.text.outline.spans.get(named.path), file.text.text
    if span and span.form == "value" and span.start <= named.start < span.end:
        return True
    if span and span.key_start <= named.start <= span.key_end:
        return text[span.key_start] in _QUOTES
    return text[named.start - 1] in _QUOTES


def _is_sealed(file: OpenFile, after: str) -> bool:
    """Tell whether a job was sent, and says something else with the new name that it may not without a reason."""
    if not file.job or not file.job.dates.sent:
        return False
    job = load_job(file.path, after.encode("utf-8", "surrogatepass")).job
    return job is not None and breaks_seal(file.job, job)


def _joined(text: str, splices: list[Splice], amended: str, after: str) -> tuple[Splice, ...]:
    """Return the edits of the names and of the amendment; all in one where they cannot be told apart."""
    if not amended:
        return tuple(splices)
    start, end, new = splice(after, amended)
    shift = sum(len(name) - (high - low) for low, high, name in splices if high <= start)
    apart = tuple(sorted((*splices, (start - shift, end - shift, new))))
    return apart if _with(text, apart) == amended else (splice(text, amended),)


def _with(text: str, splices: Sequence[Splice]) -> str:
    pieces, done = [], 0
    for start, end, new in splices:
        pieces += [text[done:start], new]
        done = end
    return "".join((*pieces, text[done:]))
