"""What can be jotted down: the tables of a job, and a few keys at the top of its file. The schema has their keys."""

from __future__ import annotations

from jobkit.jobs.sorts import ENTRIES, TABLES, Sort
from jobkit.named_tuple import NamedTuple


class Jot(NamedTuple):
    """A kind of entry: where it is in a job file, and which keys its bare words go to, in this order.

    It is `listed` where each one is written as an entry of its own. `only` restricts the keys, where they are a few of
    many. `again` are the keys by which an earlier entry is found, to be completed instead of a new one written, where
    `lacking` is not given. `today` is the key of a day that is today unless told.
    """

    name: str
    path: tuple[str, ...]
    words: tuple[str, ...]
    about: str
    listed: bool = False
    only: tuple[str, ...] = ()
    again: tuple[str, ...] = ()
    lacking: str = ""
    today: str = ""


def _jot(sort: Sort) -> Jot:
    return Jot(
        name=sort.jot or sort.name,
        path=sort.path,
        words=sort.words,
        about=sort.about,
        listed=sort.phrase is not None,
        again=sort.same if sort.opened_by else (),
        lacking=sort.opened_by,
        today=sort.day if sort.day != "at" else "",
    )


def _key(name: str, about: str) -> Jot:
    return Jot(name, (), (name,), about, only=(name,))


JOTS = {
    jot.name: jot
    for jot in (
        *(_jot(sort) for sort in (*ENTRIES, *TABLES) if sort.about),
        _key("outcome", "how it ended"),
        _key("public", "whether `site --public` shows the repair"),
        _key("title", "the job in one line"),
        _key("client", "client reference"),
    )
}
"""Every kind of entry by name, in the order in which help lists them; readings have their own command."""
