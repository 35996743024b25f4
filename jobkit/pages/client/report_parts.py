"""What several papers for the client begin with: the head, what came, what was found, photos."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from jobkit.jobs.client import Client
from jobkit.jobs.job import Job
from jobkit.pages.blocks import Block, Line, Pairs, Photo, Table, filled
from jobkit.pages.client.phrases import inject_words, pad_words, seen_words
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.pages.words import listed
from jobkit.reckon.client.paper import Paper
from jobkit.reckon.client.photos import photos
from jobkit.units.phrase import phrase

_PRIOR = {
    "none": phrase("We saw no sign of an earlier repair attempt."),
    "likely": phrase("There are signs of an earlier repair attempt."),
    "certain": phrase("The board was worked on before it came to us."),
}


def paper_head(paper: Paper, lang: Language = ENGLISH) -> list[tuple[str, str]]:
    """Say from whom to whom a paper goes, of which day, about which board."""
    job, client, bench = paper.job, paper.client, paper.bench.settings
    design = lang.say("design {design}", design=job.board.design) if job.board.design else ""
    serial = lang.say("serial number {serial}", serial=job.board.serial) if job.board.serial else ""
    return [
        (lang.say("from", "head"), ", ".join((bench.name, *bench.address))),
        (lang.say("contact"), ", ".join(bench.contact)),
        (lang.say("to", "head"), client_line(client)),
        (lang.say("client number"), job.client or ""),
        (lang.say("date"), lang.written(paper.on)),
        (lang.say("board", "head"), listed(lang.own(job.board.kind), design, serial)),
    ]


def kind_of_board(job: Job, lang: Language = ENGLISH) -> str:
    """Name what sort of board it is, within a sentence."""
    return lang.own(job.board.kind) or lang.say("board")


def client_line(client: Client | None) -> str:
    """Write name, address and country of a client; "" where none may or can be given."""
    return ", ".join(filter(None, (client.name, *client.address, client.country))) if client else ""


def what_came(job: Job, lang: Language = ENGLISH) -> Iterator[Block]:
    """Say what came, in which state, and what the client told."""
    yield from map(Line, _what_came(job, lang))


def _what_came(job: Job, lang: Language) -> Iterator[str]:
    intake = job.intake
    if job.dates.received:
        yield lang.say("We received the board on {day}.", day=job.dates.received)
    if job.comeback and job.comeback.of:
        yield lang.say("We repaired it before, as job {job}.", job=job.comeback.of)
    if intake.complaint:
        yield lang.say('You told us: "{complaint}".', complaint=intake.complaint)
    if intake.setup:
        yield lang.say("It ran in: {setup}.", setup=intake.setup)
    if intake.condition:
        yield lang.say("When we unpacked it we saw: {condition}.", condition="; ".join(intake.condition))
    # A board that was here before was worked on: by us.
    if intake.prior_work in _PRIOR and not (job.comeback and job.comeback.of):
        yield lang.say(_PRIOR[intake.prior_work])


def what_was_found(paper: Paper, lang: Language = ENGLISH) -> Iterator[Block]:
    """Say the cause, and what checks showed, day by day."""
    job, design = paper.job, paper.bench.designs.get(paper.job.board.design or "")
    if job.cause:
        cause = ": ".join(filter(None, (job.cause.part, job.cause.fault)))
        yield Line(
            lang.say(
                "The cause: {cause}. (Short names such as this are printed on the board beside each part.)",
                cause=cause,
            )
        )
    elif job.outcome == "no-fault-found":
        yield Line(lang.say("We could not measure a fault or make the board fail."))
    found = sorted(
        [(one.at, seen_words(one, design, lang)) for one in job.seen]
        + [(one.at, inject_words(one, lang)) for one in job.injections]
        + [(one.at, pad_words(one, lang)) for one in job.pads],
        key=lambda pair: (pair[0] is None, pair[0]),
    )
    if found:
        yield Pairs([(day_or_also(at, lang), words) for at, words in found])


def day_or_also(at: datetime | None, lang: Language = ENGLISH) -> str:
    """Write the day of an entry; an entry without a time came to the others."""
    return lang.written(at.date()) if at else lang.say("also")


def photo_list(job: Job, lang: Language = ENGLISH) -> Iterator[Block]:
    """List the photos of a job, and show them where a form can."""
    rows = [(lang.text(what), photo.file, photo.caption or "") for what, photo in photos(job)]
    if rows:
        heads = (lang.say("of", "photo"), lang.say("file"), lang.say("what it shows"))
        yield filled(Table(heads, rows))
        yield from (Photo(file, caption) for _, file, caption in rows)
