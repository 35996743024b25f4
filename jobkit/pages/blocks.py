"""What a page is made of, before it is text, Markdown or anything else.

A page is written once, as blocks; the renderers in this room each know how to draw every block.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple, TypeAlias, TypeVar

from jobkit.units.errors import in_lines


class Title(NamedTuple):
    """A heading; level 1 is the page's own."""

    text: str
    level: int = 2


class Line(NamedTuple):
    """A sentence or two."""

    text: str


class Pairs(NamedTuple):
    """Labels with their values, one below the other; a pair without a value is left out."""

    pairs: Sequence[tuple[str, str]]


class Table(NamedTuple):
    """Rows under heads; `right` names the columns that hold figures."""

    heads: Sequence[str]
    rows: Sequence[Sequence[str]]
    right: Sequence[str] = ()


def filled(table: Table) -> Table:
    """Leave out the columns that no row has anything in: people need not see them."""
    used = [at for at in range(len(table.heads)) if any(row[at] for row in table.rows)]
    heads = [table.heads[at] for at in used]
    rows = [[row[at] for at in used] for row in table.rows]
    return Table(heads, rows, [head for head in table.right if head in heads])


class Ticks(NamedTuple):
    """A list of things done or still open."""

    items: Sequence[tuple[bool, str]]


class Drawing(NamedTuple):
    """Lines of characters that must keep their places."""

    lines: Sequence[str]


Block: TypeAlias = Title | Line | Pairs | Table | Ticks | Drawing
_Block = TypeVar("_Block", bound=Block)
Page: TypeAlias = Sequence[Block]


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


def visible_block(block: _Block) -> _Block:
    """Write out in one block what a terminal would obey."""
    made: _Block = _visible(block)
    return made


def _visible(value: Any) -> Any:
    if isinstance(value, str):
        return in_lines(value)  # each form lays out the ends of lines in its own way
    if isinstance(value, tuple | list):
        parts = map(_visible, value)
        return type(value)(*parts) if hasattr(value, "_fields") else tuple(parts)
    return value
