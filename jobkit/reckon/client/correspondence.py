"""Notes and messages of a job in one course."""

from __future__ import annotations

from jobkit.jobs.entries import Message
from jobkit.jobs.job import Job


def correspondence(job: Job) -> tuple[Message, ...]:
    """Give notes and messages in order of time, undated ones last; a note is a message with no other side."""
    notes = (Message(one.path, one.at, one.by, text=one.text, client=one.client) for one in job.notes)
    return tuple(sorted((*notes, *job.messages), key=lambda one: (one.at is None, one.at)))
