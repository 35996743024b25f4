"""A package that is fitted while its bake still runs: lint names that bake, and does not say that there was none."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.books import BENCH, JOB, JOB_PATH, make_book
from tests.conftest import Run

DESIGN = 'format = 1\ndesign = "alder-a1"\nkind = "graphics card"\n[[package]]\npart = "U1"\nmoisture = "3"\n'


@pytest.mark.parametrize(
    ("begun", "said"),
    [
        ("2026-10-08T10:00:00", "its bake of 2026-10-08 10:00 still ran, until 2026-10-10 10:00 (level 3)"),
        ("2026-10-08T13:00:00", "it was not baked, and counts as wet (level 3)"),
    ],
    ids=["running", "begun later"],
)
def test_a_bake_under_way_is_named(run: Run, tmp_path: Path, begun: str, said: str) -> None:
    work = (
        f'\n[[work]]\nat = {begun}\ndid = "bake"\npart = "U1"\nhours = 48\noven = "125 °C"\n'
        '[[work]]\nat = 2026-10-08T12:00:00\ndid = "fit"\npart = "U1"\ncame = "donor"\nalloy = "SAC305"\n'
    )
    files = {JOB_PATH: JOB + work, "boards/alder-a1.toml": DESIGN, "bench.toml": BENCH}
    findings = run(
        "lint", "--book", make_book(tmp_path, files), "--on", "2026-11-20", "--format", "json"
    ).data
    (found,) = [one for one in findings["findings"] if one["rule"] == "bake-missing"]
    assert said in found["message"]
