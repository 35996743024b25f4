"""Say what is wrong with private/clients.toml without a word that is in it.

What is said of a file ends up in logs and in the tables of `export`. So each sentence is made of the schema's words,
never of the file's, and a line tells the place.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from jobkit.book.schema.gate import Doc
from jobkit.book.schema.schema_files import rules_at
from jobkit.book.schema.trouble import Trouble
from jobkit.book.toml.parse import TomlError, decode
from jobkit.book.toml.positions import locate, positions
from jobkit.jobs.finding import Place

_KIND = "clients"


def without_values(troubles: Iterable[Trouble], content: bytes, doc: Doc | None) -> Iterator[Trouble]:
    """Say in the schema's own words what is wrong, and at which line; `doc` is None where the text was not read."""
    try:
        index = positions(decode(content))
    except TomlError as error:
        yield Trouble((), "the file is not UTF-8 here", "save the file as UTF-8", error.line, error.column)
        return
    for one in troubles:
        place = (one.line, one.column) if one.line else locate(index, one.place)
        yield Trouble((), *(_unread(one) if doc is None else _refused(one.place, doc)), *place)


def _unread(trouble: Trouble) -> tuple[str, str]:
    """Say what is wrong where the whole file was not read: it is not TOML, or of another format."""
    if trouble.place:
        return "the file has another format than this jobkit reads", trouble.mend
    return "this line is not TOML", 'write key = "value", every text between quotes'


def _refused(place: Place, doc: Doc) -> tuple[str, str]:
    """Say what the schema refuses, and how to write it."""
    # Loaded only where something is wrong, and then by the gate too.
    from jobkit.book.schema.refusal import nearest, such_as  # noqa: PLC0415

    holder = rules_at(_KIND, place[:-1])
    known, key = holder.get("properties", {}), place[-1]
    if key in known:
        what = "is missing" if _is_missing(place, doc) else "has a value that does not fit here"
        return f'"{key}" {what}', such_as(known[key])
    if rules_at(_KIND, place):
        return "this entry has a value that does not fit here", such_as(holder)
    return "unknown key", nearest(str(key), list(known), f"the keys here are {', '.join(known)}")


def _is_missing(place: Place, doc: Doc) -> bool:
    holder: object = doc
    for key in place[:-1]:
        holder = holder[key]  # type: ignore[index] # the schema has looked into it
    return isinstance(holder, dict) and place[-1] not in holder
