"""The paper for the client, in plain words: what came, what was found and done, how it was tested, and the warranty."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.job import Firmware, Job
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Photo, Table, Title, filled
from jobkit.pages.client.cautions import LOCAL_RULES, caution_lines
from jobkit.pages.client.phrases import (
    inject_words,
    long_day,
    pad_words,
    seen_words,
    source_words,
    work_words,
)
from jobkit.pages.client.report_charts import board_map, load_curves, reading_strips
from jobkit.pages.client.report_data import report_data
from jobkit.pages.client.report_endings import ending
from jobkit.pages.client.report_proof import proof, readings
from jobkit.pages.client.report_terms import price, warranty
from jobkit.reckon.client.cautions import NOT_REPAIRED
from jobkit.reckon.client.correspondence import correspondence
from jobkit.reckon.client.paper import Paper
from jobkit.reckon.client.photos import photos

_PRIOR = {
    "none": "We saw no sign of an earlier repair attempt.",
    "likely": "There are signs of an earlier repair attempt.",
    "certain": "The board was worked on before it came to us.",
}


def report_page(paper: Paper) -> Answer:
    """Write the paper of a job."""
    return Answer(list(_blocks(paper)), report_data(paper))


def _blocks(paper: Paper) -> Iterator[Block]:
    job = paper.job
    yield Title(f"Report on your {job.board.kind or 'board'}, job {job.id}", 1)
    yield Pairs(_head(paper))
    yield Line(ending(job))
    for title, blocks in (
        ("What came", _came(job)),
        ("What we found", _found(paper)),
        ("What we did", (*_did(job), *board_map(paper))),
        ("Photos", _photos(job)),
        ("Readings before and after", (*reading_strips(paper), *readings(paper))),
        (
            "How we tested it" if job.dates.finished else "What we still have to test",
            (*proof(paper), *load_curves(paper)),
        ),
        ("Parts", _parts(paper)),
        ("Price", price(paper)),
        ("Warranty", warranty(paper)),
        ("Notes and messages", _said(job)),
        ("Corrections to this report", _amended(job)),
        ("Before you fit it" if job.outcome not in NOT_REPAIRED else "Take care", _cautions(paper)),
    ):
        shown = list(blocks)
        if shown:
            yield Title(title)
            yield from shown


def _head(paper: Paper) -> list[tuple[str, str]]:
    job, client = paper.job, paper.client
    design = f"design {job.board.design}" if job.board.design else ""
    serial = f"serial number {job.board.serial}" if job.board.serial else ""
    return [
        ("from", paper.bench.settings.name),
        ("to", ", ".join((client.name, *client.address)) if client else ""),
        ("client number", job.client or ""),
        ("date", long_day(paper.on)),
        ("board", ", ".join(filter(None, (job.board.kind, design, serial)))),
    ]


def _came(job: Job) -> Iterator[Block]:
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


def _found(paper: Paper) -> Iterator[Block]:
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


def _did(job: Job) -> Iterator[Block]:
    days: dict[str, list[str]] = {}
    for work in sorted(job.work, key=lambda one: (one.at is None, one.at)):
        days.setdefault(long_day(work.at.date()) if work.at else "also", []).append(work_words(work))
    if days:
        yield Pairs([(day, "; ".join(words)) for day, words in days.items()])
    yield from map(Line, _firmware(job.firmware))


def _firmware(firmware: Firmware | None) -> Iterator[str]:
    if firmware is None:
        return
    if firmware.came or firmware.saved:
        version = f" (version {firmware.came})" if firmware.came else ""
        saved = "; we saved a copy of it before anything was written" if firmware.saved else ""
        yield f"The firmware is the program inside the board{version}{saved}."
    if firmware.left:
        same = firmware.left == firmware.came
        yield "We left it unchanged." if same else f"The board now has version {firmware.left}."


def _photos(job: Job) -> Iterator[Block]:
    rows = [(what, photo.file, photo.caption or "") for what, photo in photos(job)]
    if rows:
        yield filled(Table(("of", "file", "what it shows"), rows))
        yield from (Photo(file, caption) for _, file, caption in rows)


def _parts(paper: Paper) -> Iterator[Block]:
    rows = [
        (part.what, f"{part.used.qty.normalize():f}", part.used.part or "", source_words(part.used))
        for part in paper.parts
    ]
    if rows:
        yield Table(("part", "quantity", "fitted at", "source"), rows, right=("quantity",))


def _said(job: Job) -> Iterator[Block]:
    marked = [one for one in correspondence(job) if one.client]
    if marked:
        yield Pairs([(long_day(one.at.date()) if one.at else "also", one.text or "") for one in marked])


def _amended(job: Job) -> Iterator[Block]:
    for one in job.amended:
        day = f"On {long_day(one.at.date())}: " if one.at else ""
        yield Line(f"{day}{one.why or 'this paper was changed'}.")


def _cautions(paper: Paper) -> Iterator[Block]:
    lines = list(caution_lines(paper.cautions))
    if lines and paper.job.outcome:
        yield from map(Line, lines)
        yield Line(LOCAL_RULES)
