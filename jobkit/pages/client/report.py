"""The paper for the client, in plain words: what came, what was found and done, how it was tested, and the warranty."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.job import Firmware, Job
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Table, Title
from jobkit.pages.client.cautions import LOCAL_RULES, caution_lines
from jobkit.pages.client.heat_curves import heat_curves
from jobkit.pages.client.phrases import (
    long_day,
    source_words,
    work_words,
)
from jobkit.pages.client.report_charts import board_map, load_curves, pad_maps, reading_strips
from jobkit.pages.client.report_data import report_data
from jobkit.pages.client.report_endings import ending
from jobkit.pages.client.report_parts import paper_head, photo_list, what_came, what_was_found
from jobkit.pages.client.report_proof import proof, readings
from jobkit.pages.client.report_terms import price, warranty
from jobkit.pages.client.sections import NAMES
from jobkit.reckon.client.cautions import NOT_REPAIRED
from jobkit.reckon.client.correspondence import correspondence
from jobkit.reckon.client.paper import Paper


def report_page(paper: Paper) -> Answer:
    """Write the paper of a job."""
    return Answer(list(_blocks(paper)), report_data(paper))


def _blocks(paper: Paper) -> Iterator[Block]:
    job = paper.job
    yield Title(f"Report on your {job.board.kind or 'board'}, job {job.id}", 1)
    yield Pairs(paper_head(paper))
    yield Line(ending(job))
    for title, blocks in (
        ("What came", what_came(job)),
        ("What we found", what_was_found(paper)),
        ("What we did", (*_did(job), *board_map(paper), *pad_maps(paper))),
        ("Photos", photo_list(job)),
        ("Readings before and after", (*reading_strips(paper), *readings(paper))),
        (
            "How we tested it" if job.dates.finished else "What we still have to test",
            (*proof(paper), *heat_curves(paper), *load_curves(paper)),
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
            yield Title(title, name=NAMES[title])
            yield from shown


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
