"""The trail of a job: its history out of git, in the words of the job."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jobkit.named_tuple import NamedTuple
from jobkit.pages.blocks import Answer, Block, Line, Table, Title
from jobkit.pages.forms.data import Data
from jobkit.reckon.changes.job_changes import CHANGED, REMOVED, Change
from jobkit.reckon.changes.trail import TrailEntry

_SHOWN = 8
"""So many letters of a commit's id are shown: git takes them for the whole."""


class Trail(NamedTuple):
    """The trail of a job; `shallow` where the clone begins later than the book."""

    job: str
    title: str
    entries: Sequence[TrailEntry]
    shallow: bool = False


_FOR_PROGRAMS = ("day", "what", "committed", "author", "commit")
"""The heads in CSV: "by" is a word of query languages."""


def trail_page(trail: Trail) -> Answer:
    """Tell what happened to a job: on which day, as the job says; and by whom and when it was committed."""
    heads = ("day", "what", "committed", "by", "commit")
    table = Table(heads, [row for entry in trail.entries for row in _rows(entry)])
    return Answer(list(_blocks(trail, table)), _data(trail), table._replace(heads=_FOR_PROGRAMS))


def words(change: Change) -> str:
    """Say a change in one phrase.

    >>> words(Change("reading", "removed", "V12 0.4 Ω out, arrival"))
    'taken out: V12 0.4 Ω out, arrival'
    """
    if change.what in {"job", "file"}:
        return change.words
    return {REMOVED: "taken out: ", CHANGED: "now: "}.get(change.how, "") + change.words


def change_data(change: Change) -> Data:
    """Give a change as data."""
    return {
        "what": change.what,
        "change": change.how,
        "text": change.words,
        "at": change.at.isoformat() if change.at else None,
    }


def _blocks(trail: Trail, table: Table) -> Iterator[Block]:
    yield Title(f"{trail.job}  {trail.title}".rstrip(), 1)
    if trail.shallow:
        yield Line(
            "This clone is shallow: what is older than its first commit needs `git fetch --unshallow`."
        )
    yield table if table.rows else Line("Nothing of it has been committed yet.")


def _rows(entry: TrailEntry) -> Iterator[tuple[str, ...]]:
    for change in entry.changes:
        day = f"{change.at:%Y-%m-%d}" if change.at else ""
        yield day, words(change), f"{entry.at:%Y-%m-%d}", entry.by, entry.commit[:_SHOWN]


def _data(trail: Trail) -> Data:
    return {
        "job": trail.job,
        "shallow": trail.shallow,
        "trail": [
            {
                "commit": entry.commit,
                "at": entry.at.isoformat(),
                "by": entry.by,
                "subject": entry.subject,
                "changes": [change_data(change) for change in entry.changes],
            }
            for entry in trail.entries
        ],
    }
