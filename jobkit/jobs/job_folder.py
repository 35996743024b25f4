"""Where the files of a job lie."""

from __future__ import annotations


def attachment_path(job_path: str, name: str) -> str:
    """Say where a file that a job names lies, relative to the book.

    >>> attachment_path("jobs/2026/K26-0047.toml", "load.csv")
    'jobs/2026/K26-0047/load.csv'
    """
    return f"{job_path.removesuffix('.toml')}/{name}"


def job_file(job_id: str) -> str:
    """Name the file of a job, relative to the book: the folder is the year in its id.

    >>> job_file("K26-0061")
    'jobs/2026/K26-0061.toml'
    """
    return f"jobs/20{job_id[1:3]}/{job_id}.toml"
