"""The usual cautions for the person who fits a board; local rules and licensed practice come first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from jobkit.jobs.cautions import CAUTIONS, PRACTICE
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.units.phrase import phrase

LOCAL_RULES = phrase(
    "Local rules and the advice of a licensed electrician come before this list. Where it names no standard, it is "
    "common practice."
)


def caution_paragraph(names: Iterable[str], before: str, lang: Language = ENGLISH) -> Iterator[str]:
    """Say the cautions named in one paragraph, behind the words for what they come before; nothing for none."""
    lines = list(caution_lines(names, lang))
    if lines:
        yield " ".join((f"{lang.say(before)}:", *lines, lang.say(LOCAL_RULES)))


def caution_lines(names: Iterable[str], lang: Language = ENGLISH) -> Iterator[str]:
    """Say the cautions named, each with the standard that it comes from, where there is one."""
    for name in names:
        one = CAUTIONS[name]
        yield lang.text(one.client) + (f" ({one.source})" if one.source != PRACTICE else "")
