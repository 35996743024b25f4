"""The documentation of a rule, taken out of its docstring part by part."""

from __future__ import annotations

from typing import NamedTuple

from jobkit.lint.registry import Rule

PARTS = ("What it finds", "Why it matters", "How to fix", "Example")
"""The parts of a rule's docstring after its first line, in their order."""


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
    return Explained(rule, first, *(text[:1].upper() + text[1:] for text in texts))
