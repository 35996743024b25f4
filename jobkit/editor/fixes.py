"""Quick fixes: what a finding says to write, written; a waiver or an amendment to fill in; a missing date."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from typing import Any

from lsprotocol.types import CodeAction, CodeActionKind, Range

from jobkit.book import edit
from jobkit.book.edit import EditError, Value
from jobkit.editor.edits import edit_to, in_file
from jobkit.editor.findings import Shown, diagnostic
from jobkit.editor.open_file import OpenFile
from jobkit.jobs.finding import Finding, Place
from jobkit.lint.rules.catalogue import all_rules

_VALUES = re.compile(r'write ((?:"[^"]*"(?:, | or )?)+)')
_KEY_AND_VALUE = re.compile(r'write (\w+) = "([^"]*)"')
_KEY = re.compile(r'write "([^"]+)"')
_UNKNOWN_KEY = "unknown key"

Change = tuple[str, Callable[[str], str]]
"""What a fix does, and the function that makes the new text of the old one; raises EditError."""


def fixes(file: OpenFile, shown: Sequence[Shown], where: Range, now: datetime) -> list[CodeAction]:
    """Return the fixes of the findings that a stretch of an open file touches; of half-typed text there are none."""
    if file.readable.error:
        return []
    touched = [one for one in shown if _touch(one.range, where)]
    return [action for one in touched for action in _actions(file, one, now)]


def _touch(one: Range, other: Range) -> bool:
    return one.start.line <= other.end.line and other.start.line <= one.end.line


def _actions(file: OpenFile, shown: Shown, now: datetime) -> Iterator[CodeAction]:
    changes = [*_written(file, shown.finding), *_dated(file, shown.finding, now)]
    first = bool(changes)
    for title, change in [*changes, *_accepted(file, shown.finding, now)]:
        try:
            new = change(file.text.text)
        except EditError:
            continue  # the text has a form that no edit of ours fits into: you write it yourself
        yield CodeAction(
            title=title,
            kind=CodeActionKind.QuickFix,
            diagnostics=[diagnostic(shown)],
            is_preferred=first or None,
            edit=in_file(file, edit_to(file.text, new)),
        )
        first = False


def _written(file: OpenFile, finding: Finding) -> Iterator[Change]:
    """Yield the changes to what the finding says to write, in the place that it is about."""
    place = finding.place
    if finding.message.startswith(_UNKNOWN_KEY):
        if key := _KEY.match(finding.mend):
            yield f"Write {key[1]}", lambda text: edit.rename_keys(text, [place], key[1])
    elif named := _KEY_AND_VALUE.match(finding.mend):
        yield f'Write {named[1]} = "{named[2]}"', _set((*place[:-1], named[1]), named[2])
    elif (values := _VALUES.match(finding.mend)) and _is_text(file, place):
        for value in re.findall(r'"([^"]*)"', values[1]):
            yield f'Write "{value}"', _set(place, value)


def _is_text(file: OpenFile, place: Place) -> bool:
    span = file.text.outline.spans.get(place)
    return span is not None and file.text.text[span.start : span.start + 1] in ('"', "'")


def _set(place: Place, value: Any) -> Callable[[str], str]:
    return lambda text: edit.set_key(text, place, value)


def _dated(file: OpenFile, finding: Finding, now: datetime) -> Iterator[Change]:
    """Yield a missing day, as today."""
    place = finding.place
    is_day = file.kind == "job" and len(place) == 2 and place[0] == "dates"
    if is_day and place not in file.text.outline.spans and finding.mend.startswith(f"add {place[1]}"):
        yield f"Add {place[1]} = {now.date()}", _set(place, now.date())


def _accepted(file: OpenFile, finding: Finding, now: datetime) -> Iterator[Change]:
    """Yield a waiver or an amendment, with the reason left to you: lint finds it as long as that is missing."""
    if file.kind != "job":
        return
    if finding.rule == "sealed":
        entry: dict[str, Value] = {"at": now, "why": ""}
        yield "Add [[amended]] and fill in why", lambda text: edit.append_entry(text, "amended", entry)
    elif all_rules()[finding.rule].waivable:
        about = {"about": finding.about} if finding.about else {}
        waiver: dict[str, Value] = {"rule": finding.rule, **about, "why": ""}
        subject = f" about {finding.about}" if finding.about else ""
        yield (
            f"Waive {finding.rule}{subject} and fill in why",
            lambda text: edit.append_entry(text, "waive", waiver),
        )
