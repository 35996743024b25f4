"""The key of a file that must be the name of the file: a trouble with it says that name, and not an example."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import PurePosixPath

from jobkit.book.schema.schema_files import schema
from jobkit.book.schema.trouble import Trouble

_KEYS = {"job": ("id", "job_id"), "board": ("design", "design_name")}
"""By kind of file the key, and the definition in its schema of what it may be."""


def named_after_file(kind: str, path: str, troubles: Iterable[Trouble]) -> list[Trouble]:
    """Return the troubles of a file; the one with its own name says how to write it, if the file has a proper name."""
    found = list(troubles)
    key, form = _KEYS[kind]
    name = PurePosixPath(path).stem
    if not found or not re.search(schema(kind)["$defs"][form]["pattern"], name):
        return found
    return [one._replace(mend=_mend(key, name, one)) if one.place == (key,) else one for one in found]


def _mend(key: str, name: str, trouble: Trouble) -> str:
    if trouble.message.endswith("is missing"):
        return f'add {key} = "{name}"'
    return f'write {key} = "{name}", or rename the file'
