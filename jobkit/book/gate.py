"""The gate: hold a document to its schema, fast where it passes and thoroughly where it does not.

jsonschema-rs looks at every document; only what it refuses is looked at again by jsonschema, whose messages are
complete (about a hundred times slower). Where the two should ever disagree, the gate's own message is reported.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import jsonschema_rs

from jobkit.book.schemas import schema_path
from jobkit.book.trouble import Trouble
from jobkit.jobs.finding import Place

Doc = dict[str, Any]
"""A parsed document in which dates and times have become ISO 8601 text."""


def check(kind: str, doc: Doc) -> tuple[Trouble, ...]:
    """Hold `doc` to the schema of `kind`; no troubles where it passes."""
    gate = _gate(kind)
    if gate.is_valid(doc):
        return ()
    # jsonschema takes longer to load than all the rest; only a refused file has to pay for it.
    from jobkit.book.refusal import refusals  # noqa: PLC0415

    return refusals(kind, doc) or _own_words(gate, doc)


@cache
def _gate(kind: str) -> jsonschema_rs.Draft202012Validator:
    return jsonschema_rs.Draft202012Validator(schema_path(kind).read_text("utf-8"), validate_formats=True)


def _own_words(gate: jsonschema_rs.Draft202012Validator, doc: Doc) -> tuple[Trouble, ...]:
    """Say what only the gate refuses: nan and infinities, which jsonschema takes for numbers, and what may yet come."""
    return tuple(_trouble(tuple(error.instance_path), error.message, doc) for error in gate.iter_errors(doc))


def _trouble(place: Place, message: str, doc: Doc) -> Trouble:
    value: Any = doc
    for key in place:
        value = value[key]
    if isinstance(value, float) and not math.isfinite(value):
        return Trouble(
            place, f"{value} is no number to reckon with", "write the number, or take the line out"
        )
    return Trouble(place, message, "")
