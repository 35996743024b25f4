"""What a finding says to add to another file of the book: a point or part to its board file, a meter, an item."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import partial
from typing import Any

from jobkit.book import edit
from jobkit.book.edit.proof import proven
from jobkit.book.edit.splice import with_item
from jobkit.book.edit.written import written
from jobkit.book.toml.outline import outline
from jobkit.editor.fix.change import Change
from jobkit.jobs.finding import Finding

_ADD = re.compile(r"add (?:it|the point)(?: to parts)? (?:in|to) ([\w./-]+\.toml)")
_PARTS = ("parts",)


def elsewhere(finding: Finding) -> Iterator[Change]:
    """Yield the entry of an unknown name in the file that would know it, with what only you know left empty."""
    found = _ADD.match(finding.mend)
    add = _WAYS.get(finding.rule)
    if found and add and finding.about:
        title, make = add
        yield Change(title.format(finding.about, found[1]), partial(make, name=finding.about), path=found[1])


def _part(text: str, name: str) -> str:
    found = outline(text)
    if _PARTS not in found.spans:
        return edit.set_key(text, _PARTS, [name])
    return proven(
        text, with_item(text, found, _PARTS, written(name)), _PARTS, lambda doc: doc["parts"].append(name)
    )


def _entry(text: str, name: str, table: str, **more: str) -> str:
    return edit.append_entry(text, table, {"name": name, **more})


def _item(text: str, name: str) -> str:
    return edit.set_key(text, ("item", name, "what"), "")


_WAYS: Mapping[str, tuple[str, Any]] = {
    "part-unknown": ("Add {} to parts in {}", _part),
    "point-unknown": ("Add the point {} to {} and fill in where", partial(_entry, table="point", where="")),
    "meter-unknown": ("Add the meter {} to {}", partial(_entry, table="meter")),
    "item-unknown": ("Add the item {} to {} and fill in what", _item),
}
"""By rule what the fix says, and the function that adds a name to the text of the other file."""
