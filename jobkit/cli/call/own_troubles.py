"""What of the bench's own files cannot be read, said beside an answer that goes without it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from jobkit.cli.call.streams import say
from jobkit.units.errors import MisuseError

if TYPE_CHECKING:
    from jobkit.book.read.load import OpenBook, OwnFile

_SHOWN = 5


def say_own_troubles(opened: OpenBook, design: str | None) -> None:
    """Say what of bench.toml, meters.toml and the board file of a design is left out, because it cannot be read."""
    for file in _own_files(opened, design):
        troubles = list(_troubles(file))
        for where, message, fix in troubles[:_SHOWN]:
            say(f"jobkit: {where} cannot be read, so the answer goes without it: {_sentence(message, fix)}")
        if len(troubles) > _SHOWN:
            say(f"jobkit: {len(troubles) - _SHOWN} more in {file.path}; `jobkit lint {file.path}` names them")


def refuse_unread_board_file(opened: OpenBook, design: str | None) -> None:
    """Raise MisuseError where the board file of a design is there and cannot be read at all."""
    known = opened.bench.designs.get(design or "")
    if known is None or not known.unread:
        return
    for file in _own_files(opened, design):
        if file.path == known.path:
            for where, message, fix in _troubles(file):
                raise MisuseError(f"{where} cannot be read: {message}", fix)


def _own_files(opened: OpenBook, design: str | None) -> Iterator[OwnFile]:
    wanted = {"bench.toml", "meters.toml", f"boards/{design}.toml"}
    yield from (file for file in opened.own if file.path in wanted and file.troubles)


def _troubles(file: OwnFile) -> Iterator[tuple[str, str, str]]:
    """Yield the place of each trouble, as "boards/alder-a1.toml:512", what is wrong, and how to fix it."""
    from jobkit.book.toml.positions import locate, positions

    places = positions(file.content.decode("utf-8", "replace"))
    for one in file.troubles:
        line = one.line or locate(places, one.place).line
        yield f"{file.path}:{line}", one.message, one.mend


def _sentence(message: str, fix: str) -> str:
    return f"{message}; {fix}" if fix else message
