"""The gate: hold a document to its schema, fast where it passes and thoroughly where it does not.

jsonschema-rs looks at every document; only what it refuses is looked at again by jsonschema, whose messages are
complete (about a hundred times slower). Where the two should ever disagree, the gate's own message is reported.
Where there is no jsonschema-rs (it has no wheel for 32-bit ARM), jsonschema looks at every document: slower, and with
the same answers.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache
from typing import TYPE_CHECKING, Any

from jobkit.book.schema.schema_files import schema_path
from jobkit.book.schema.trouble import Trouble
from jobkit.jobs.finding import Place

if TYPE_CHECKING:
    import jsonschema_rs

Doc = dict[str, Any]
"""A parsed document in which dates and times have become ISO 8601 text."""


def check(kind: str, doc: Doc) -> tuple[Trouble, ...]:
    """Hold `doc` to the schema of `kind`; no troubles where it passes."""
    gate = _gate(kind)
    if gate and gate.is_valid(doc):
        return ()
    # jsonschema takes longer to load than all the rest; only a refused file has to pay for it.
    from jobkit.book.schema.refusal import refusals  # noqa: PLC0415

    refused = refusals(kind, doc)
    return (*refused, *_only_by(gate, doc, refused))


def get_ready(kind: str) -> None:
    """Compile the schema of a kind now, not when the first document is compared with it."""
    _gate(kind)


@cache
def _gate(kind: str) -> jsonschema_rs.Draft202012Validator | None:
    """Compile the schema of a kind; None where the quick validator is not installed."""
    try:
        import jsonschema_rs  # noqa: PLC0415
    except ImportError:
        return None
    return jsonschema_rs.Draft202012Validator(schema_path(kind).read_text("utf-8"), validate_formats=True)


def _only_by(
    gate: jsonschema_rs.Draft202012Validator | None, doc: Doc, refused: tuple[Trouble, ...]
) -> Iterator[Trouble]:
    """Say what only the gate refuses: nan and infinities, which jsonschema takes for numbers.

    Where jsonschema refuses nothing at all, whatever else the gate has against the document is told in its own words.
    It cannot be told where, as the gate's path has a number for a key of figures.
    """
    told = {trouble.place for trouble in refused}
    unlike = {place: value for place, value in _no_numbers(doc) if place[0] != "own" and place not in told}
    for place, value in unlike.items():
        yield Trouble(place, f"{value} is not a number", "write the number, or remove the line")
    if gate and not refused and not unlike:
        yield from (Trouble((), error.message, "") for error in gate.iter_errors(doc))


def _no_numbers(holder: Any, path: Place = ()) -> Iterator[tuple[Place, float]]:
    """Yield each place where nan or an infinity is."""
    for key, value in holder.items() if isinstance(holder, dict) else enumerate(holder):
        if isinstance(value, dict | list):
            yield from _no_numbers(value, (*path, key))
        elif isinstance(value, float) and not math.isfinite(value):
            yield (*path, key), value
