"""How deep tables and lists may go: no deeper than all that reads them can follow.

rtoml limits how deep brackets and braces go, and how many names one key has, each by itself. Keys of many names in
tables in braces, one inside the other, multiply: from some 1,500 levels on they overflow a stack of 1 MB.
"""

import re
from typing import Any

from jobkit.book.toml.outline import TEXT, outline

DEEPEST = 80
"""The most tables and lists that may be nested."""
_FAR_TOO_DEEP = 400
"""The parser follows so many levels on any stack, and hardly a file has so many dots."""

# A text that does not end is passed over once: the parser goes no further either.
_TEXT_OR_REMARK = re.compile(rf"""{TEXT.pattern}|(?:\"{{3}}|'{{3}}).*|["'][^\n]*|#[^\n]*""", re.DOTALL)
_BRACE = re.compile(r"([{}])")


class TooDeepError(ValueError):
    """Tables or lists are nested too deeply."""


def refuse_endless_keys(text: str) -> None:
    """Raise TooDeepError where the keys of tables in braces go deeper than the parser can follow."""
    if text.count(".") <= _FAR_TOO_DEEP:
        return
    pieces = _BRACE.split(_TEXT_OR_REMARK.sub("", text))
    depths = [0]
    for before, brace in zip(pieces[::2], pieces[1::2], strict=False):
        if brace == "{":
            key = before[max(before.rfind(","), before.rfind("\n")) + 1 :]
            depths.append(depths[-1] + 1 + key.count("."))
            if depths[-1] > _FAR_TOO_DEEP:
                raise TooDeepError
        elif len(depths) > 1:
            depths.pop()


def refuse_depth(node: Any, room: int = DEEPEST) -> None:
    """Raise TooDeepError where a document goes deeper than `room`."""
    if not room:
        raise TooDeepError
    for value in node.values() if type(node) is dict else node:
        if type(value) is dict or type(value) is list:
            refuse_depth(value, room - 1)


def first_too_deep(text: str) -> int:
    """Return where the first key begins that is nested too deeply by its names, 0 where that cannot be told."""
    spans = outline(text).spans.items()
    return min((span.key_start for path, span in spans if len(path) >= DEEPEST), default=0)
