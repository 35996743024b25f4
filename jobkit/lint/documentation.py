"""The documentation of a rule, taken out of its docstring part by part."""

from __future__ import annotations

import re

from jobkit.lint.registry import Rule
from jobkit.named_tuple import NamedTuple

PARTS = ("What it finds", "Why it matters", "How to fix", "Example")
"""The parts of a rule's docstring after its first line, in their order."""

_PLAIN_WORD = re.compile(r"[a-z]+[,;:]?(?: |$)")


class Explained(NamedTuple):
    """What there is to know of a rule: the fault in one line, then the parts, each in one paragraph."""

    rule: Rule
    fault: str
    finds: str
    matters: str
    mend: str
    example: str


def explain(rule: Rule) -> Explained:
    """Take the documentation of a rule apart; a part that it lacks is ""."""
    first, *rest = [" ".join(part.split()) for part in rule.text.split("\n\n")]
    parts = dict(part.split(": ", 1) for part in rest if ": " in part)
    texts = (parts.get(name, "") for name in PARTS)
    return Explained(rule, first, *map(with_capital, texts))


def with_capital(text: str) -> str:
    """Begin a text with a capital letter, unless it begins with a name: of a file, a rule, a key.

    >>> with_capital("a reading, or a limit"), with_capital("private/clients.toml in the index")
    ('A reading, or a limit', 'private/clients.toml in the index')
    """
    return text[:1].upper() + text[1:] if _PLAIN_WORD.match(text) else text
