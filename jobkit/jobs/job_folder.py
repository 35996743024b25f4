"""Where the files of a job lie."""

from __future__ import annotations


def attachment_path(job_path: str, name: str) -> str:
    """Say where a file that a job names lies, relative to the book.

    >>> attachment_path("jobs/2026/K26-0047.toml", "load.csv")
    'jobs/2026/K26-0047/load.csv'
    """
    return f"{job_path.removesuffix('.toml')}/{name}"
