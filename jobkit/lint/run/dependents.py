"""Which jobs a change may put in the wrong: those that came back or took parts off the board, and one that was sent."""

from __future__ import annotations

from jobkit.jobs.facts import Facts

_NOT_AGAIN = ("serial", "received", "finished", "sent", "collected", "comeback_of", "invoice_number")
"""What others lean on once it is there: to be told for the first time wrongs nobody."""


def is_leaned_on(before: Facts, after: Facts) -> bool:
    """Tell whether a job changed in what rules across jobs ask of it for the sake of others.

    A job that is gone, or has another name, is another matter: then all others may be in the wrong.
    """
    if before.fate != after.fate:
        return True
    return any(getattr(before, name) not in {"", getattr(after, name)} for name in _NOT_AGAIN)


def may_have_been_sent(was: Facts, now: Facts) -> bool:
    """Tell whether a job may be bound to what it was: only then is it worth while to go through the history.

    Not so one that neither the last commit nor what comes next calls finished, gone or invoiced.
    """
    return any(
        one.sent or one.collected or one.finished or one.outcome or one.invoice_number for one in (was, now)
    )
