"""What several papers for the client begin with: the head, what came, what was found, photos."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.client import Client
from jobkit.jobs.job import Job
from jobkit.pages.blocks import Block, Line, Pairs, Photo, Table, filled
from jobkit.pages.client.phrases import inject_words, long_day, pad_words, seen_words
from jobkit.reckon.client.paper import Paper
from jobkit.reckon.client.photos import photos

_PRIOR = {
    "none": "We saw no sign of an earlier repair attempt.",
    "likely": "There are signs of an earlier repair attempt.",
    "certain": "The board was worked on before it came to us.",
}


def paper_head(paper: Paper) -> list[tuple[str, str]]:
    """Say from whom to whom a paper goes, of which day, about which board."""
    job, client, bench = paper.job, paper.client, paper.bench.settings
    design = f"design {job.board.design}" if job.board.design else ""
    serial = f"serial number {job.board.serial}" if job.board.serial else ""
    return [
        ("from", ", ".join((bench.name, *bench.address))),
        ("contact", ", ".join(bench.contact)),
        ("to", client_line(client)),
        ("client number", job.client or ""),
        ("date", long_day(paper.on)),
        ("board", ", ".join(filter(None, (job.board.kind, design, serial)))),
    ]


def client_line(client: Client | None) -> str:
    """Write name, address and country of a client; "" where none may or can be given."""
    return ", ".join(filter(None, (client.name, *client.address, client.country))) if client else ""


def what_came(job: Job) -> Iterator[Block]:
    """Say what came, in which state, and what the client told."""
    if job.dates.received:
        yield Line(f"We received the board on {long_day(job.dates.received)}.")
    if job.comeback and job.comeback.of:
        yield Line(f"We repaired it before, as job {job.comeback.of}.")
    if job.intake.complaint:
        yield Line(f'You told us: "{job.intake.complaint}".')
    if job.intake.setup:
        yield Line(f"It ran in: {job.intake.setup}.")
    if job.intake.condition:
        yield Line(f"When we unpacked it we saw: {'; '.join(job.intake.condition)}.")
    # A board that was here before was worked on: by us.
    if job.intake.prior_work in _PRIOR and not (job.comeback and job.comeback.of):
        yield Line(_PRIOR[job.intake.prior_work])


def what_was_found(paper: Paper) -> Iterator[Block]:
    """Say the cause, and what checks showed, day by day."""
    job, design = paper.job, paper.bench.designs.get(paper.job.board.design or "")
    if job.cause:
        cause = ": ".join(filter(None, (job.cause.part, job.cause.fault)))
        yield Line(
            f"The cause: {cause}. (Short names such as this are printed on the board beside each part.)"
        )
    elif job.outcome == "no-fault-found":
        yield Line("We could not measure a fault or make the board fail.")
    found = sorted(
        [(one.at, seen_words(one, design)) for one in job.seen]
        + [(one.at, inject_words(one)) for one in job.injections]
        + [(one.at, pad_words(one)) for one in job.pads],
        key=lambda pair: (pair[0] is None, pair[0]),
    )
    if found:
        yield Pairs([(long_day(at.date()) if at else "also", words) for at, words in found])


def photo_list(job: Job) -> Iterator[Block]:
    """List the photos of a job, and show them where a form can."""
    rows = [(what, photo.file, photo.caption or "") for what, photo in photos(job)]
    if rows:
        yield filled(Table(("of", "file", "what it shows"), rows))
        yield from (Photo(file, caption) for _, file, caption in rows)
