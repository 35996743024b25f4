"""Merge two versions of a file that grew apart, so that neither bench loses a line."""

from jobkit.book.merge.driver import CLEAN, CONFLICT, driver_command, run
from jobkit.book.merge.markers import sides
from jobkit.book.merge.whole import Merged, merge

__all__ = ["CLEAN", "CONFLICT", "Merged", "driver_command", "merge", "run", "sides"]
