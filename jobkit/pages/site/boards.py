"""The page of a design on a site: its board file, what good boards of it read, and each of these boards on a strip."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.jobs.design import Design
from jobkit.pages.blocks import Answer, Block, Mark, Strip, Strips, Title
from jobkit.pages.client.usual_range import strip_usual
from jobkit.pages.words import counted
from jobkit.reckon.readings.limits import suits
from jobkit.reckon.readings.usual import DesignUsual, Usual
from jobkit.units.limit import Limit

_KIND = "a good board"
_ABOUT = "Each mark is a board; the shaded band is the limit, the line below is the interval in the table."


def board_page(
    name: str, design: Answer | None, usual: Answer, learned: DesignUsual, known: Design | None
) -> Answer:
    """Join the pages of a design, with the readings of its boards drawn."""
    return Answer([Title(name, 1), *_blocks(design, usual, learned, known)], {})


def _blocks(
    design: Answer | None, usual: Answer, learned: DesignUsual, known: Design | None
) -> Iterator[Block]:
    strips = [_strip(row, known) for row in learned.rows if row.n]
    if strips:
        yield Title("Good boards")
        yield Strips(_ABOUT, [_KIND], strips)
    for page in (design, usual):
        yield from map(_below, page.page if page else ())


def _below(block: Block) -> Block:
    """Put the headings of a page below that of the page it is now a part of."""
    return (
        block._replace(level=block.level + 1 if block.level > 1 else 2) if isinstance(block, Title) else block
    )


def _strip(row: Usual, known: Design | None) -> Strip:
    limit = _limit(row, known)
    marks = [
        Mark(_KIND, float(good.corrected.value.value), 0.0, f"{good.job}, {good.corrected.value.text}")
        for good in row.readings
    ]
    low, high = (limit.low, limit.high) if limit else (None, None)
    return Strip(
        f"{row.manner.words()}, {counted(row.n, 'board')}",
        marks,
        (float(low.value), low.text) if low else None,
        (float(high.value), high.text) if high else None,
        strip_usual(row),
    )


def _limit(row: Usual, known: Design | None) -> Limit | None:
    found = known.limits(row.manner.point, row.manner.kind) if known else ()
    return next((one.limit for one in found if suits(one, row.manner)), None)
