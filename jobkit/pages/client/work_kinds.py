"""The kinds of work in a word each, as a table names them."""

from __future__ import annotations

from jobkit.jobs.entries import Work
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.units.phrase import phrase

WORK_KINDS = {
    "inspect": phrase("inspect", "kind of work"),
    "clean": phrase("clean", "kind of work"),
    "remove": phrase("remove", "kind of work"),
    "prepare": phrase("prepare", "kind of work"),
    "fit": phrase("fit", "kind of work"),
    "reball": phrase("reball", "kind of work"),
    "reflow": phrase("reflow", "kind of work"),
    "swap": phrase("swap", "kind of work"),
    "rebuild-pads": phrase("rebuild-pads", "kind of work"),
    "bake": phrase("bake", "kind of work"),
    "thermal": phrase("thermal", "kind of work"),
    "other": phrase("other", "kind of work"),
    "work": phrase("work", "kind of work"),
}
"""The same words as in the files; "work" is work of no kind."""


def heating_words(work: Work, lang: Language = ENGLISH) -> str:
    """Name a heating by what was done to which part."""
    return " ".join(filter(None, (lang.say(WORK_KINDS.get(work.did or "", "")), work.part)))
