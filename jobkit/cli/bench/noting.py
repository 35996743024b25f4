"""Who writes and when, as the journal is told, so that `jobkit undo` undoes what the same hand wrote."""

from __future__ import annotations

import getpass
import os
from datetime import datetime
from pathlib import Path

from jobkit.book.read.bench_of import bench_of
from jobkit.book.write.noted import Pen
from jobkit.book.write.session import Session, SessionFiles
from jobkit.cli.call.clock import now, now_in_utc
from jobkit.jobs.settings import Settings
from jobkit.units.errors import MisuseError


def hand_of(session: Session, by: str | None = None) -> str:
    """Tell who types: whom JOBKIT_BY names, else who was named last, else who is logged in; "" where none is known.

    Who did the work may be another person: `--by` says so for one call.
    """
    return os.environ.get("JOBKIT_BY") or by or session.by or logged_in()


def logged_in() -> str:
    """Tell who is logged in, "" where the system does not know."""
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return ""


def pen_for(root: Path, what: str, settings: Settings | None = None) -> Pen:
    """Return a pen for a command that writes to files of the book other than the job at hand."""
    return Pen(
        root,
        what,
        hand_of(SessionFiles(root).read()),
        bench_time(settings or bench_of([root], None).settings),
    )


def bench_time(settings: Settings) -> datetime:
    """Tell the local time of the bench; where bench.toml names no zone there is, that of UTC."""
    try:
        return now(settings)
    except MisuseError:
        return now_in_utc()
