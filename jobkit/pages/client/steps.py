"""The steps of a proof policy, ticked or still open, as every page shows them."""

from __future__ import annotations

from collections.abc import Sequence

from jobkit.pages.blocks import Ticks
from jobkit.pages.forms.data import Data
from jobkit.reckon.progress.step import ReleaseStep


def ticked(steps: Sequence[ReleaseStep]) -> Ticks:
    """List the steps: what the open ones lack, and on what a load run rests."""
    return Ticks([(step.done, _said(step)) for step in steps])


def _said(step: ReleaseStep) -> str:
    if step.lacks:
        return f"{step.name}: {step.lacks}"
    return f"{step.name} ({step.basis})" if step.basis else step.name


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
