"""The paper for the client, in plain words: what came, what was found and done, how it was tested, and the warranty."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from jobkit.jobs.job import Firmware, Job
from jobkit.pages.blocks import Answer, Block, Line, Pairs, Table, Title
from jobkit.pages.client.cautions import LOCAL_RULES, caution_lines
from jobkit.pages.client.heat_curves import heat_curves
from jobkit.pages.client.phrases import source_words, work_words
from jobkit.pages.client.report_charts import board_map, load_curves, pad_maps, reading_strips
from jobkit.pages.client.report_data import report_data
from jobkit.pages.client.report_endings import ending
from jobkit.pages.client.report_parts import (
    day_or_also,
    kind_of_board,
    paper_head,
    photo_list,
    what_came,
    what_was_found,
)
from jobkit.pages.client.report_proof import proof, readings
from jobkit.pages.client.report_terms import price, warranty
from jobkit.pages.client.sections import NAMES
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.reckon.client.cautions import NOT_REPAIRED
from jobkit.reckon.client.correspondence import correspondence
from jobkit.reckon.client.paper import Paper
from jobkit.units.phrase import phrase


def report_page(paper: Paper, lang: Language = ENGLISH) -> Answer:
    """Write the paper of a job."""
    return Answer(list(_blocks(paper, lang)), report_data(paper))


def _blocks(paper: Paper, lang: Language) -> Iterator[Block]:
    job = paper.job
    yield Title(lang.say("Report on your {board}, job {job}", board=kind_of_board(job, lang), job=job.id), 1)
    yield Pairs(paper_head(paper, lang))
    yield Line(ending(job, lang))
    for title, blocks in _sections(paper, lang):
        shown = list(blocks)
        if shown:
            yield Title(lang.say(title), name=NAMES.get(title, ""))
            yield from shown


def _sections(paper: Paper, lang: Language) -> Iterator[tuple[str, Iterable[Block]]]:
    """Yield the sections with their titles, empty ones too."""
    job = paper.job
    yield phrase("What came"), what_came(job, lang)
    yield phrase("What we found"), what_was_found(paper, lang)
    yield phrase("What we did"), (*_did(job, lang), *board_map(paper, lang), *pad_maps(paper, lang))
    yield phrase("Photos"), photo_list(job, lang)
    compared = (*reading_strips(paper, lang), *readings(paper, lang))
    yield phrase("Readings before and after"), compared
    tested = phrase("How we tested it") if job.dates.finished else phrase("What we still have to test")
    yield tested, (*proof(paper, lang), *heat_curves(paper, lang), *load_curves(paper, lang))
    yield phrase("Parts"), _parts(paper, lang)
    yield phrase("Price"), price(paper, lang)
    yield phrase("Warranty"), warranty(paper, lang)
    yield phrase("Notes and messages"), _said(job, lang)
    yield phrase("Corrections to this report"), _amended(job, lang)
    is_repaired = job.outcome not in NOT_REPAIRED
    yield phrase("Before you fit it") if is_repaired else phrase("Take care"), _cautions(paper, lang)


def _did(job: Job, lang: Language) -> Iterator[Block]:
    days: dict[str, list[str]] = {}
    for work in sorted(job.work, key=lambda one: (one.at is None, one.at)):
        days.setdefault(day_or_also(work.at, lang), []).append(work_words(work, lang))
    if days:
        yield Pairs([(day, "; ".join(words)) for day, words in days.items()])
    yield from map(Line, _firmware(job.firmware, lang))


def _firmware(firmware: Firmware | None, lang: Language) -> Iterator[str]:
    if firmware is None:
        return
    if firmware.came or firmware.saved:
        yield lang.say(_FIRMWARE[bool(firmware.came), bool(firmware.saved)], version=firmware.came)
    if firmware.left:
        same = firmware.left == firmware.came
        yield lang.say(_UNCHANGED if same else _CHANGED, version=firmware.left)


_FIRMWARE = {
    (True, False): phrase("The firmware is the program inside the board (version {version})."),
    (False, True): phrase(
        "The firmware is the program inside the board; we saved a copy of it before anything was written."
    ),
    (True, True): phrase(
        "The firmware is the program inside the board (version {version}); we saved a copy of it before anything was "
        "written."
    ),
}
"""What is said where the version is known, and where a copy was saved."""
_UNCHANGED = phrase("We left it unchanged.")
_CHANGED = phrase("The board now has version {version}.")


def _parts(paper: Paper, lang: Language) -> Iterator[Block]:
    rows = [
        (
            lang.own(part.what),
            lang.written(part.used.qty),
            part.used.part or "",
            source_words(part.used, lang),
        )
        for part in paper.parts
    ]
    if rows:
        heads = (lang.say("part"), lang.say("quantity"), lang.say("fitted at"), lang.say("source"))
        yield Table(heads, rows, right=heads[1:2])


def _said(job: Job, lang: Language) -> Iterator[Block]:
    marked = [one for one in correspondence(job) if one.client]
    if marked:
        yield Pairs([(day_or_also(one.at, lang), one.text or "") for one in marked])


def _amended(job: Job, lang: Language) -> Iterator[Block]:
    for one in job.amended:
        why = one.why or lang.say("this paper was changed")
        words = lang.say("On {day}: {why}.", day=one.at.date(), why=why) if one.at else f"{why}."
        yield Line(words)


def _cautions(paper: Paper, lang: Language) -> Iterator[Block]:
    lines = list(caution_lines(paper.cautions, lang))
    if lines and paper.job.outcome:
        yield from map(Line, lines)
        yield Line(lang.say(LOCAL_RULES))
