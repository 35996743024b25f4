"""What a page is made of, before it is text, Markdown or anything else.

A page is written once, as blocks; the renderers in this room each know how to draw every block.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeAlias, TypeVar

from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import in_lines


class Title(NamedTuple):
    """A heading; level 1 is the page's own, and one without text only begins a section.

    `name` is that of the section of a paper, whatever language it is in.
    """

    text: str
    level: int = 2
    name: str = ""


class Line(NamedTuple):
    """A sentence or two."""

    text: str


class Pairs(NamedTuple):
    """Labels with their values, one below the other; a pair without a value is left out."""

    pairs: Sequence[tuple[str, str]]


class Table(NamedTuple):
    """Rows under heads; `right` names the columns that hold figures.

    `below` names columns of whole sentences: a narrow terminal shows them on lines of their own, below their row.
    """

    heads: Sequence[str]
    rows: Sequence[Sequence[str]]
    right: Sequence[str] = ()
    below: Sequence[str] = ()


def filled(table: Table) -> Table:
    """Leave out the columns that no row has anything in: people need not see them."""
    used = [at for at in range(len(table.heads)) if any(row[at] for row in table.rows)]
    heads = [table.heads[at] for at in used]
    rows = [[row[at] for at in used] for row in table.rows]
    return Table(
        heads,
        rows,
        [head for head in table.right if head in heads],
        [head for head in table.below if head in heads],
    )


class Ticks(NamedTuple):
    """A list of things done or still open."""

    items: Sequence[tuple[bool, str]]


class Mark(NamedTuple):
    """A value on a strip; `half` is how far its uncertainty reaches, 0 where it is not known. In the strip's unit."""

    what: str
    value: float
    half: float
    text: str


class Strip(NamedTuple):
    """Values on one scale, beside the limit they are checked against and what is usual.

    An end of the limit is a value and its words, None where the limit is open there; `usual` are two ends and their
    words.
    """

    label: str
    marks: Sequence[Mark]
    low: tuple[float, str] | None = None
    high: tuple[float, str] | None = None
    usual: tuple[float, float, str] | None = None


class Strips(NamedTuple):
    """Strips, one for each place and manner of measuring; `about` says what is drawn, `kinds` names the marks."""

    about: str
    kinds: Sequence[str]
    strips: Sequence[Strip]


class Level(NamedTuple):
    """A line across a course, and its words; a limit is an upper or a lower one, None for what is not a limit."""

    value: float
    text: str
    is_upper: bool | None = True


class Curve(NamedTuple):
    """A course over time, its limits, the stretches of time that are marked, and those without a record.

    `points` gives seconds and values; it is asked only where they are drawn, as a log may have millions.
    """

    label: str
    unit: str
    points: Callable[[], Sequence[tuple[float, float]]]
    limits: Sequence[Level] = ()
    windows: Sequence[tuple[float, float]] = ()
    holes: Sequence[tuple[float, float]] = ()


class Curves(NamedTuple):
    """Courses over the same time; `about` says what is drawn. On one scale they can be compared by eye."""

    about: str
    curves: Sequence[Curve]
    is_one_scale: bool = False


class CurveStep(NamedTuple):
    """The day on which a share falls to `share`, and its band; None where the band is not known."""

    day: int
    share: float
    band: tuple[float, float] | None = None


class StepCurve(NamedTuple):
    """A share that begins at 1 and falls in steps up to the `end`; `watched_until` are days on which boards drop out.

    Days count from 0; `about` says what is drawn.
    """

    about: str
    label: str
    steps: Sequence[CurveStep]
    watched_until: Sequence[int]
    end: int


class BarRow(NamedTuple):
    """One thing counted in each stretch of time: the label of the stretch, the count, None where it is not known."""

    label: str
    bars: Sequence[tuple[str, float | None]]
    unit: str = ""


class Bars(NamedTuple):
    """Counts over the same stretches of time; `about` says what is drawn."""

    about: str
    stretch: str
    rows: Sequence[BarRow]


def bars_table(bars: Bars) -> Table:
    """Put counts over time into a table, a row for each stretch of time."""
    heads = [", ".join(filter(None, (row.label, row.unit))) for row in bars.rows]
    labels = [label for label, _ in bars.rows[0].bars] if bars.rows else []
    counts = [["" if count is None else f"{count:g}" for _, count in row.bars] for row in bars.rows]
    return Table((bars.stretch, *heads), list(zip(labels, *counts, strict=True)), heads)


class Package(NamedTuple):
    """A package in a drawing of the board; `mark` is what became of it, "" for nothing, `note` what it is."""

    name: str
    mark: str = ""
    note: str = ""


class BoardMap(NamedTuple):
    """The packages round the processor, seen from the parts side with the edge connector below, by side.

    `elsewhere` are marked packages that have no place in the drawing.
    """

    about: str
    processor: Package
    left: Sequence[Package]
    top: Sequence[Package]
    right: Sequence[Package]
    bottom: Sequence[Package]
    elsewhere: Sequence[Package] = ()


class PadMark(NamedTuple):
    """A damaged pad: its place from 0, its letter, what the letter means, and the shape that is drawn round it."""

    row: int
    column: int
    ball: str
    letter: str
    words: str
    shape: str


class PadMap(NamedTuple):
    """The pads under a package, seen from the parts side; rows by name, columns counted from 1."""

    about: str
    rows: Sequence[str]
    columns: int
    marks: Sequence[PadMark]


Picture: TypeAlias = Curves | BoardMap | PadMap


class Drawing(NamedTuple):
    """Lines of characters that must keep their places; a form that can show the picture shows that instead."""

    lines: Sequence[str]
    picture: Picture | None = None


class Photo(NamedTuple):
    """A photo, by the name of its file; its picture is read where it can be shown."""

    file: str
    caption: str


Block: TypeAlias = (
    Title
    | Line
    | Pairs
    | Table
    | Ticks
    | Drawing
    | Strips
    | Curves
    | StepCurve
    | Bars
    | BoardMap
    | PadMap
    | Photo
)
_Block = TypeVar("_Block", bound=Block)
Page: TypeAlias = Sequence[Block]

_JOINERS = "\u200c\u200d"
"""Zero width non-joiner and joiner: Persian, Indic scripts and emoji are spelled with them."""

_PICTURES = (Strips, Curves, StepCurve, BoardMap, PadMap, Photo)


def words_of(page: Page) -> Page:
    """Leave out pictures, for forms that have words alone: a table beside each has the same in words."""
    return tuple(block for block in page if not isinstance(block, _PICTURES) and not _is_bare(block))


def _is_bare(block: Block) -> bool:
    return isinstance(block, Title) and not block.text


class Answer(NamedTuple):
    """An answer in all its forms: the page for people, the data for programs, and the table if it is one.

    Data and table of a long list may be functions, which make them when they are asked for. `own` are forms that only
    this answer has, such as a calendar; each is drawn when it is asked for.
    """

    page: Page
    data: dict[str, Any] | Callable[[], dict[str, Any]]
    table: Table | Callable[[], Table] | None = None
    own: Mapping[str, Callable[[], str]] = {}


def visible(page: Page) -> Page:
    """Write out what a terminal would obey instead of show: a job's title may come from anywhere."""
    return tuple(visible_block(block) for block in page)


def visible_in_browser(page: Page) -> Page:
    """Write out what a browser would obey, but for what joins letters and emoji, which a browser shows as is meant."""
    return tuple(_visible(block, _in_browser) for block in page)


def visible_block(block: _Block) -> _Block:
    """Write out in one block what a terminal would obey."""
    made: _Block = _visible(block, in_lines)
    return made


def _in_browser(text: str) -> str:
    if text.isprintable():
        return text
    return "".join(part if part in _JOINERS else in_lines(part) for part in re.split(f"([{_JOINERS}])", text))


def _visible(value: Any, written: Callable[[str], str]) -> Any:
    if isinstance(value, str):
        return written(value)  # each form lays out the ends of lines in its own way
    if isinstance(value, tuple | list):
        parts = [_visible(part, written) for part in value]
        return type(value)(*parts) if hasattr(value, "_fields") else tuple(parts)
    return value
