"""What a finding says to remove, removed: a key, a name of a list, a waiver without effect."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import partial

from jobkit.book import edit
from jobkit.editor.fix.change import Change
from jobkit.jobs.finding import Finding

_WAIVER = re.compile(r"(?:^|and )remove (?:the|this) waiver")
_LINE = re.compile(r"remove (?:it|the line)$")


def to_remove(finding: Finding) -> Iterator[Change]:
    """Yield the removal that a finding names, where it names no other way before it."""
    if finding.place[:1] == ("waive",) and _WAIVER.search(finding.mend):
        yield Change("Remove this waiver", partial(edit.remove_key, path=finding.place[:2]))
    elif finding.place and _LINE.match(finding.mend):
        yield Change(f"Remove {_shown(finding)}", partial(edit.remove_key, path=finding.place))


def _shown(finding: Finding) -> str:
    last = finding.place[-1]
    return last if isinstance(last, str) else f"{finding.about} from {finding.place[-2]}"
