"""The steps of a proof policy, ticked or still open, as every page shows them."""

from __future__ import annotations

from collections.abc import Sequence

from jobkit.pages.blocks import Ticks
from jobkit.pages.forms.data import Data
from jobkit.reckon.progress.release import Step


def ticked(steps: Sequence[Step]) -> Ticks:
    """List the steps, and what the open ones lack."""
    return Ticks([(step.done, f"{step.name}: {step.lacks}" if step.lacks else step.name) for step in steps])


def steps_data(steps: Sequence[Step]) -> list[Data]:
    """Give each step: whether it is done, what lacks, and which entries show it."""
    return [
        {"name": step.name, "done": step.done, "lacks": step.lacks, "shown_by": step.shown_by}
        for step in steps
    ]
