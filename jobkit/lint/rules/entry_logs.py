"""What rules say of the log of any entry: that it cannot be used, or that it was begun on another day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from jobkit.jobs.finding import Place
from jobkit.jobs.log_day import is_of_another_day
from jobkit.lint.registry import Found
from jobkit.named_tuple import NamedTuple


class EntryLog(NamedTuple):
    """The log of an entry: the key that names it, its name, the sort of entry and its time, and what it shows."""

    place: Place
    name: str
    entry: str
    at: datetime | None
    shows: str

    def unusable(self, trouble: str, instead: str) -> Iterator[Found]:
        """Yield that the log cannot be read; `instead` is what to name in its place."""
        if not trouble.startswith("there is no file"):  # file-missing says that
            message = f"the log {self.name} cannot be used: {trouble}"
            yield Found(
                self.place, self.name, message, f"name {instead}, as CSV; ten rows a second are plenty"
            )

    def of_another_day(self, begun: datetime | None, seconds: float) -> Iterator[Found]:
        """Yield that the log, which is so many seconds long, is of another day than its entry."""
        if is_of_another_day(begun, seconds, self.at):
            days = f"was begun on {begun:%Y-%m-%d}, and the {self.entry} on {self.at:%Y-%m-%d}"
            yield Found(
                self.place, self.name, f"the log {self.name} {days}", f"name the log of this {self.shows}"
            )
