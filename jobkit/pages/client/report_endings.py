"""How a job ended, for the client: each ending has wording of its own."""

from __future__ import annotations

from jobkit.jobs.job import Job
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.units.phrase import phrase

_ENDINGS = {
    "repaired": phrase("Your board is repaired."),
    "no-fault-found": phrase(
        "We found no fault. The board did not fail in the tests below. A fault that shows "
        "itself only now and then is still possible."
    ),
    "beyond-repair": phrase("We could not repair your board to a standard we stand behind."),
    "declined": phrase("You decided against the repair, so the board is not repaired."),
}

_COMEBACKS = {
    "same-fault": phrase("It came back with the same fault."),
    "our-work": phrase("It came back because of our own earlier work. We are sorry."),
    "new-fault": phrase("It came back with a different fault from the one we repaired."),
    "misuse": phrase("It came back with damage from outside the board."),
    "not-shown": phrase("It came back, and we could not make the fault appear."),
}

_NOT_YET = phrase("The work is not finished. This report shows what we have done so far.")
_NOT_SAID = phrase("The work is finished. The outcome is not recorded yet.")

_KEPT_AGREED = {
    "kept-for-parts": phrase("With your agreement, we keep it as a source of parts."),
    "recycled": phrase("With your agreement, it goes to electronic waste to be recycled."),
}
_KEPT_IF_AGREED = {
    "kept-for-parts": phrase("If you agree, we keep it as a source of parts; please tell us."),
    "recycled": phrase("If you agree, it goes to electronic waste to be recycled; please tell us."),
}


def ending(job: Job, lang: Language = ENGLISH) -> str:
    """Say in a few sentences how the job ended, why the board had come back if it had, and what becomes of it."""
    if job.outcome is None:
        return lang.say(_NOT_YET if job.dates.finished is None else _NOT_SAID)
    found = job.comeback.found if job.comeback else None
    said = (lang.say(_ENDINGS[job.outcome]), lang.say(_COMEBACKS.get(found or "", "")), fate_words(job, lang))
    return " ".join(filter(None, said))


def fate_words(job: Job, lang: Language = ENGLISH) -> str:
    """Say what becomes of a board that does not go back."""
    if job.fate is None or job.fate.what in {None, "returned"}:
        return ""
    return lang.say((_KEPT_AGREED if job.fate.owner_agreed else _KEPT_IF_AGREED)[job.fate.what or ""])
