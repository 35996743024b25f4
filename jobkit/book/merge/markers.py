"""Conflict markers: writing them, and telling the two sides apart again."""

import re
from collections.abc import Iterable

from jobkit.book.git.linemerge import Labels
from jobkit.book.merge.blocks import Lines

_LINE = re.compile(r"[^\n]*\n|[^\n]+")
_OPENING = re.compile(r"^(<{7,})(?: |\r?$)", re.MULTILINE)
# Which marker leads where; git's other styles show the base too.
_TURNS = {
    "both": (("<", "ours"),),
    "ours": (("|", "base"), ("=", "theirs")),
    "base": (("=", "theirs"),),
    "theirs": ((">", "both"),),
}


def conflict(ours: Iterable[str], theirs: Iterable[str], labels: Labels) -> Lines:
    """Return the lines of both sides between markers."""
    return (
        f"{'<' * labels.size} {labels.ours}",
        *ours,
        "=" * labels.size,
        *theirs,
        f"{'>' * labels.size} {labels.theirs}",
    )


def whole_conflict(ours: str, theirs: str, labels: Labels) -> str:
    """Return two whole texts between markers, line ends as in `ours`."""
    newline = "\r\n" if "\r\n" in ours else "\n"
    before, between, after = conflict((), (), labels)
    parts = (
        before + newline,
        _ended(ours, newline),
        between + newline,
        _ended(theirs, newline),
        after + newline,
    )
    return "".join(parts)


def _ended(text: str, newline: str) -> str:
    return text if not text or text.endswith("\n") else text + newline


def sides(text: str) -> tuple[str, str] | None:
    r"""Return the two whole texts of a file with conflicts: all of ours and all of theirs, what is common in both.

    Two files with one id are one conflict from the first line to the last, so this gives both back. None
    where the text has no conflict, or its markers are out of order.

    >>> sides("<<<<<<< ours\na = 1\n=======\na = 2\n>>>>>>> theirs\n")
    ('a = 1\n', 'a = 2\n')
    """
    opening = _OPENING.search(text)
    if not opening:
        return None
    marks = {mark: re.compile(f"{re.escape(mark)}{{{len(opening[1])}}}(?: |\r?\n|$)") for mark in "<|=>"}
    kept: dict[str, list[str]] = {"ours": [], "base": [], "theirs": []}
    place = "both"
    for line in _LINE.findall(text):
        turn = next((next_place for mark, next_place in _TURNS[place] if marks[mark].match(line)), None)
        if turn:
            place = turn
        else:
            for side in ("ours", "theirs") if place == "both" else (place,):
                kept[side].append(line)
    return ("".join(kept["ours"]), "".join(kept["theirs"])) if place == "both" else None
