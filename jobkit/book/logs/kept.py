"""How bench.toml says that logs are read."""

from __future__ import annotations

from fractions import Fraction

from jobkit.book.logs.columns import LogOptions
from jobkit.book.logs.trouble import BAD_SHARE
from jobkit.jobs.settings import LogHabit

SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|", "space": " "}
"""Separators by the words that say them, since a tab is hard to type and hard to see."""


def kept_options(habit: LogHabit) -> LogOptions:
    """Return the options that bench.toml keeps for a kind of log; what it does not say is guessed."""
    return LogOptions(
        columns=dict(habit.columns),
        units=dict(habit.units),
        header=habit.header,
        separator=SEPARATORS.get(habit.separator or ""),
        encoding=habit.encoding,
        bad_share=BAD_SHARE if habit.bad_rows is None else Fraction(habit.bad_rows) / 100,
    )
