"""What `?` says at a stop of a walk."""

from __future__ import annotations

from jobkit.jobs.design import Check, Design
from jobkit.pages.bench.confirmations import stop_help
from jobkit.reckon.entry.walk import WalkStop


def test_a_check_that_covers_the_point_says_how_it_is_done() -> None:
    checks = (
        Check((), "cold walk", covers=("VMEM",), how="red lead on the rail"),
        Check((), "other", covers=("V12",), how="no"),
    )
    design = Design("boards/alder-a1.toml", "alder-a1", checks=checks)
    said = list(stop_help(WalkStop("VMEM", "resistance", "cold"), design, "", None))
    assert "    cold walk: red lead on the rail" in said
    assert not any("other" in line for line in said)
