"""What rules may ask of the other jobs, and of a job that is kept at hand without being read."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol, TypeVar

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts

_Seen = TypeVar("_Seen")


class Jobs(Protocol):
    """The jobs of the book, for rules that look from one at another."""

    def named(self, job_id: str) -> tuple[Facts, ...]:
        """Give the facts of every job whose file has this name: none, one, or more by mistake."""

    @property
    def is_whole(self) -> bool:
        """Tell whether the whole book is being checked, so that `once` may look at all jobs."""

    def mentioning(self, word: str, since: str = "") -> tuple[Facts, ...]:
        """Give the facts of the jobs in whose text a word is, of the folder of a year or later."""

    def of_board(self, serial: str) -> tuple[Facts, ...]:
        """Give the facts of the jobs of a serial number; a few may be of another."""

    def all(self) -> tuple[Facts, ...]:
        """Give the facts of every job that can be read."""

    def whole(self) -> tuple[Facts, ...]:
        """Give them only where all have been read already, as in a check of the whole book; else none.

        For notes that are not worth reading a whole book before a commit.
        """

    def once(self, look: Callable[[tuple[Facts, ...], Bench], _Seen], bench: Bench) -> _Seen:
        """Give what `look` makes of `whole()`; it looks once a check, however many jobs ask."""


class JobSummary(Protocol):
    """As much of a job as a screen may look at: what is kept of it at hand, without its facts."""

    @property
    def path(self) -> str:
        """The file of the job."""

    @property
    def last_done(self) -> str:
        """The latest day on which something is said to have happened."""

    @property
    def attachments(self) -> tuple[str, ...]:
        """The files that the job names."""


class Waiving(Protocol):
    """As much of a job as a rule about its waivers may look at."""

    @property
    def waives(self) -> tuple[tuple[str, str], ...]:
        """Rule and subject ("" = any) of each finding waived, in the order of the file."""
