"""What the command that starts the server hands to it: the clock, the way to open a book, and three look-ups."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

from jobkit.book.cache.store import Cache
from jobkit.book.read.load import OpenBook
from jobkit.book.shelf.opening import Shelf, Tree
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job
from jobkit.jobs.manner import Manner
from jobkit.jobs.settings import Settings
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.readings.usual import Usual


class Outside(NamedTuple):
    """Functions of the command line that the server uses.

    `now` tells the local time of a bench; `tree_of` opens the working tree of a book, `cache_for` the store of a shelf.
    `usual_for` says what good boards read, `stays_of` which jobs have a serial, both at the end of a day.
    `who` tells who writes in the book in a folder, "" where that is not known.
    """

    now: Callable[[Settings], datetime]
    tree_of: Callable[[Path], Tree]
    cache_for: Callable[[Shelf], Cache | None]
    usual_for: Callable[[OpenBook, Job, date], Callable[[Manner], Usual | None]]
    stays_of: Callable[[OpenBook, str, date], list[Facts]]
    who: Callable[[Path], str]
