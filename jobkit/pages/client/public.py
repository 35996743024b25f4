"""A repair as a bench shows it to the world: no client, no serial number, no price, no day.

Only what the bench itself wrote of checks and work is told; the client's words are left out.
"""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.job import Job
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Photo, Table, Title
from jobkit.pages.cautions import caution_sentence
from jobkit.pages.client.heat_curves import heat_curves
from jobkit.pages.client.phrases import inject_words, pad_words, seen_words, work_words
from jobkit.pages.client.report_charts import board_map, load_curves, pad_maps, reading_strips
from jobkit.pages.client.report_proof import readings
from jobkit.reckon.client.paper import Paper
from jobkit.reckon.client.photos import photos
from jobkit.reckon.progress.near_acts import at_the_bench

_NO_GUIDE = "This is what one bench did on one board, and not a guide."


def public_page(paper: Paper) -> Answer:
    """Write the page of a repair that its job marks as public."""
    return Answer(list(_blocks(paper)), {"job": paper.job.id, "title": paper.job.title})


def _blocks(paper: Paper) -> Iterator[Block]:
    job = paper.job
    yield Title(job.title or job.id, 1)
    yield Pairs(list(_head(paper)))
    for title, blocks in (
        ("What it was", _learned(job)),
        ("What we saw", _found(paper)),
        (
            "What we did",
            (*_did(job), *board_map(paper), *pad_maps(paper), *heat_curves(paper, with_day=False)),
        ),
        ("Photos", [Photo(photo.file, photo.caption or what) for what, photo in photos(job)]),
        ("Readings before and after", (*reading_strips(paper), *readings(paper))),
        ("Under load", load_curves(paper, with_day=False)),
        ("Take care", [Line(_NO_GUIDE), Line(caution_sentence(at_the_bench(job)))]),
    ):
        shown = list(blocks)
        if shown:
            yield Title(title)
            yield from shown


def _head(paper: Paper) -> Iterator[tuple[str, str]]:
    job, ended = paper.job, paper.job.dates.finished or paper.job.dates.received
    yield "bench", paper.bench.settings.name
    yield "board", job.board.kind or ""
    yield "design", job.board.design or ""
    yield "outcome", (job.outcome or "").replace("-", " ")
    yield "when", f"{ended:%Y-%m}" if ended else ""


def _learned(job: Job) -> Iterator[Block]:
    if job.cause:
        yield Line(": ".join(filter(None, (job.cause.part, job.cause.fault))))


def _found(paper: Paper) -> Iterator[Block]:
    job, design = paper.job, paper.bench.designs.get(paper.job.board.design or "")
    found = sorted(
        [(one.at, "check", seen_words(one, design)) for one in job.seen]
        + [(one.at, "injection", inject_words(one)) for one in job.injections]
        + [(one.at, "pad", pad_words(one)) for one in job.pads],
        key=lambda each: (each[0] is None, each[0]),
    )
    if found:
        yield Table(("how", "what we saw"), [each[1:] for each in found])


def _did(job: Job) -> Iterator[Block]:
    done = sorted(job.work, key=lambda one: (one.at is None, one.at))
    if done:
        yield Table(
            ("step", "what we did"), [(str(step), work_words(one)) for step, one in enumerate(done, 1)]
        )
