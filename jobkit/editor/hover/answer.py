"""What is under the cursor: a reading judged, a part, a channel, another job … or what a key means."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from lsprotocol.types import Hover, MarkupContent, MarkupKind, Position

from jobkit.book.schema.entry_keys import about
from jobkit.editor.hover import boards, jobs, shelf
from jobkit.editor.names.designs import Named, name_at
from jobkit.editor.names.named import Role
from jobkit.editor.names.tables import schema_path
from jobkit.editor.rule_page import rule_page_text
from jobkit.editor.shown.open_book import BookInEditor
from jobkit.editor.shown.open_file import OpenFile
from jobkit.units.errors import in_lines

Lines = Iterator[str]

_BY_ROLE: Mapping[Role, Callable[[Named, OpenFile, BookInEditor], Lines]] = {
    "part": boards.part_lines,
    "channel": boards.channel_lines,
    "rail": boards.rail_lines,
    "point": boards.point_lines,
    "design": boards.design_lines,
    "item": shelf.item_lines,
    "meter": shelf.meter_lines,
    "client": jobs.client_lines,
    "serial": jobs.serial_lines,
    "job": jobs.job_lines,
    "source": jobs.job_lines,
    "rule": lambda named, _file, _book: iter([_rule(named.name)]),
}


def hover(file: OpenFile, book: BookInEditor, position: Position) -> Hover | None:
    """Say what is at a position; None where there is nothing to be said."""
    offset = file.text.offset(position)
    found = file.text.path_at(offset)
    if found is None:
        return None
    path, span, on_value = found
    named = name_at(file, book.book().bench, offset)
    lines = [*_of_entry(file, book, path, on_value=on_value)]
    if named and named.role in _BY_ROLE:
        lines += _BY_ROLE[named.role](named, file, book)
    if not lines or not on_value:
        lines += _of_key(file, path)
    text = in_lines("\n\n".join(filter(None, lines)))
    where = (
        file.text.range(span.start, span.end) if on_value else file.text.range(span.key_start, span.key_end)
    )
    return Hover(MarkupContent(MarkupKind.Markdown, text), where) if text else None


def _of_entry(file: OpenFile, book: BookInEditor, path: tuple[str | int, ...], *, on_value: bool) -> Lines:
    """Say what the whole entry tells: a reading its verdict, the warranty its last day."""
    if file.job is None:
        return
    if path[0] == "reading" and len(path) > 1 and on_value and path[-1] in _OF_READING:
        yield from boards.reading_lines(file.job, path[:2], book)
    elif path[0] == "warranty":
        yield from jobs.warranty_lines(file.job, book)


_OF_READING = frozenset(("point", "kind", "value", "limit", "again", "stage", "state"))


def _of_key(file: OpenFile, path: tuple[str | int, ...]) -> Lines:
    names = tuple(one for one in path if isinstance(one, str))
    place = schema_path(file.kind, names[:-1])
    if names and place is not None:
        try:
            yield about(file.kind, place, names[-1])
        except KeyError:
            return


def _rule(name: str) -> str:
    try:
        return rule_page_text(name)
    except KeyError:
        return ""
