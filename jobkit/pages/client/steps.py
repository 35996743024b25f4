"""The steps of a proof policy, ticked or still open, as every page shows them."""

from __future__ import annotations

from collections.abc import Sequence

from jobkit.pages.blocks import Ticks
from jobkit.pages.forms.data import Data
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.reckon.progress.step import ReleaseStep


def ticked(steps: Sequence[ReleaseStep], lang: Language = ENGLISH) -> Ticks:
    """List the steps: what the open ones lack, and on what a load run rests."""
    return Ticks([(step.done, _said(step, lang)) for step in steps])


def _said(step: ReleaseStep, lang: Language) -> str:
    name = lang.own(step.name)
    if step.lacks:
        return f"{name}: {lang.text(step.lacks)}"
    return f"{name} ({lang.text(step.basis)})" if step.basis else name


def steps_data(steps: Sequence[ReleaseStep]) -> list[Data]:
    """Give each step: whether it is done, what lacks, and which entries show it."""
    return [
        {
            "name": step.name,
            "done": step.done,
            "lacks": step.lacks,
            "shown_by": step.shown_by,
            "basis": step.basis or None,
        }
        for step in steps
    ]
