"""What belongs to persons and should not be in git."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.lint.registry import FoundAt, text_rule
from jobkit.lint.rules.personal_data import ibans, mails, numbered_lines, phones


@text_rule("error")
def personal_data(text: str) -> Iterator[FoundAt]:
    """A mail address, a phone number or an IBAN stands in a file that goes into git.

    What it finds: in job and board files, remarks and [own] too: mail addresses; phone numbers with a country code,
    with a leading zero and written in groups, or after a word such as "phone" or "rang"; bank accounts (IBAN) whose
    check digits are right. What it found is not repeated in the message, as messages end up in logs.

    Why it matters: git keeps everything for good, in every clone.

    How to fix: write it into private/clients.toml, under the reference that the job names in `client`. Where it is no
    person's (a supplier's order line), waive it with `about` "mail address", "phone number" or "IBAN".

    Example: `complaint = "No picture. Please ring +44 1632 960142"`.
    """
    for start in mails(text):
        yield _found(start, "mail address")
    for begins, line in numbered_lines(text):
        for start in phones(line):
            yield _found(begins + start, "phone number")
        for start in ibans(line):
            yield _found(begins + start, "IBAN")


def _found(start: int, what: str) -> FoundAt:
    mend = "put it into private/clients.toml under the client's reference, and leave it out here"
    return FoundAt(start, what, f"this looks like a person's {what}", mend)
