"""How a job ended, for the client: each ending has wording of its own."""

from __future__ import annotations

from jobkit.jobs.job import Job

_ENDINGS = {
    "repaired": "Your board is repaired.",
    "no-fault-found": "We found no fault. The board did not fail in the tests below. A fault that shows "
    "itself only now and then is still possible.",
    "beyond-repair": "We could not repair your board to a standard we stand behind.",
    "declined": "You decided against the repair, so the board is not repaired.",
}

_COMEBACKS = {
    "same-fault": "It came back with the same fault.",
    "our-work": "It came back because of our own earlier work. We are sorry.",
    "new-fault": "It came back with a different fault from the one we repaired.",
    "misuse": "It came back with damage from outside the board.",
    "not-shown": "It came back, and we could not make the fault appear.",
}

_NOT_YET = "The work is not finished. This report shows what we have done so far."
_NOT_SAID = "The work is finished. The outcome is not recorded yet."


def ending(job: Job) -> str:
    """Say in a few sentences how the job ended, why the board had come back if it had, and what becomes of it."""
    if job.outcome is None:
        return _NOT_YET if job.dates.finished is None else _NOT_SAID
    found = job.comeback.found if job.comeback else None
    said = (_ENDINGS[job.outcome], _COMEBACKS.get(found or "", ""), fate_words(job))
    return " ".join(filter(None, said))


def fate_words(job: Job) -> str:
    """Say what becomes of a board that does not go back."""
    if job.fate is None or job.fate.what in {None, "returned"}:
        return ""
    kept = {
        "kept-for-parts": "we keep it as a source of parts",
        "recycled": "it goes to electronic waste to be recycled",
    }[job.fate.what or ""]
    if job.fate.owner_agreed:
        return f"With your agreement, {kept}."
    return f"If you agree, {kept}; please tell us."
