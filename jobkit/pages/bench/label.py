"""A label for the box of a board: the job's id, large and as a code that a phone reads. No client, no serial number."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import segno

from jobkit.jobs.job import Job
from jobkit.named_tuple import NamedTuple
from jobkit.pages.blocks import Answer, Block, Drawing, Line, Title
from jobkit.pages.forms.label_drawing import label_svg

_QUIET = 4
"""Light modules round the code (ISO/IEC 18004:2015, 6.3.8, from memory)."""
_HALVES = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}


class Label(NamedTuple):
    """What is on a label: the id, the modules of its code row by row, true where dark, and lines of small print."""

    job: str
    modules: Sequence[Sequence[bool]]
    lines: Sequence[str]


def label_page(job: Job) -> Answer:
    """Make the label of a job: as text, or drawn for a printer (`svg`)."""
    label = Label(job.id, _modules(job.id), list(_lines(job)))
    data = {"job": job.id, "lines": list(label.lines), "code": job.id}
    return Answer(list(_blocks(label)), data, own={"svg": lambda: label_svg(*label)})


def _blocks(label: Label) -> Iterator[Block]:
    yield Title(label.job, 1)
    yield from map(Line, label.lines)
    yield Drawing(in_half_blocks(label.modules))


def _lines(job: Job) -> Iterator[str]:
    yield from filter(None, (job.board.design, job.board.kind))
    if job.dates.received:
        yield f"received {job.dates.received}"


def _modules(text: str) -> list[list[bool]]:
    """Make the code of a text (QR Code, ISO/IEC 18004), with the light border that a reader needs."""
    code = segno.make_qr(text, error="m")
    return [[bool(module) for module in row] for row in code.matrix_iter(border=_QUIET)]


def in_half_blocks(modules: Sequence[Sequence[bool]]) -> tuple[str, ...]:
    """Draw modules with characters that are half a line high, so that they are about square.

    >>> in_half_blocks([[True, False], [True, True], [False, True]])
    ('█▄', ' ▀')
    """
    blank = [False] * len(modules[0])
    rows = [*modules, blank] if len(modules) % 2 else modules
    return tuple(
        "".join(_HALVES[pair] for pair in zip(upper, lower, strict=True)).rstrip()
        for upper, lower in list(pairwise(rows))[::2]
    )
