"""Personal data that should not be in git."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.bench import Bench
from jobkit.lint.registry import Found, FoundAt, FoundIn, own_rule, text_rule
from jobkit.lint.rules.personal_data import ibans, mails, numbered_lines, phones
from jobkit.lint.rules.photo_place import has_place


@text_rule("error")
def personal_data(text: str) -> Iterator[FoundAt]:
    """A mail address, a phone number or an IBAN is in a file that goes into git.

    What it finds: in job and board files, remarks and [own] too: mail addresses; phone numbers with a country code,
    with a leading zero and written in groups, or after a word such as "phone" or "rang"; bank accounts (IBAN) whose
    check digits are right. The message does not repeat what was found, as messages end up in logs.

    Why it matters: git keeps everything for ever, in every clone.

    How to fix: write it into private/clients.toml, under the reference that the job names in `client`. If it does not
    belong to a person (a supplier's order line), waive it with `about` "mail address", "phone number" or "IBAN".

    Example: `complaint = "No picture. Please ring +44 1632 960142"`.
    """
    for start in mails(text):
        yield _found(start, "mail address")
    for begins, line in numbered_lines(text):
        for start in phones(line):
            yield _found(begins + start, "phone number")
        for start in ibans(line):
            yield _found(begins + start, "IBAN")


@own_rule("error")
def personal_attachment(bench: Bench) -> Iterator[FoundIn]:
    """A text file beside a job has a mail address in it, or a photo says where it was taken.

    What it finds: in an attachment that is new, changed or staged: a mail address in a text, and the place that a
    camera wrote into a picture (JPEG, PNG, WebP, HEIF). The message does not repeat them, as messages end up in
    logs.

    Why it matters: git keeps everything for ever, in every clone. A client's photo tells where the client lives.

    How to fix: remove the address from the file, or the place from the photo (in a photo program, or by saving it
    without its properties); or keep the file in private/.

    Example: a client's letter saved as jobs/2026/K26-0047/letter.txt.
    """
    for path in bench.repository.attachments:
        line = bench.contents.made_of(path, _line_with_mail)
        if line:
            message = f"line {line} of {path} has what looks like a person's mail address"
            yield FoundIn(
                path, Found((), path, message, "remove it from the file, or keep the file in private/")
            )
        if bench.contents.made_of(path, has_place):
            message = f"{path} says where it was taken"
            mend = "save the photo without its place, or keep it in private/"
            yield FoundIn(path, Found((), path, message, mend))


def _line_with_mail(content: bytes) -> int:
    """Return the first line of a text that has a mail address in it; 0 where there is none, or the file is not text."""
    if b"@" not in content or b"\0" in content:
        return 0
    text = content.decode("utf-8", "replace")
    start = next(mails(text), None)
    return 0 if start is None else text.count("\n", 0, start) + 1


def _found(start: int, what: str) -> FoundAt:
    mend = "put it into private/clients.toml under the client's reference, and leave it out here"
    return FoundAt(start, what, f"this looks like a person's {what}", mend)
