"""A memory test that failed and was not made again holds up the release."""

from __future__ import annotations

import pytest

from jobkit.jobs.bench import Bench
from jobkit.reckon.progress.release import release_steps
from tests.reckon.test_queue import STARTED, _job

CAUSED = '[cause]\npart = "U6"\n'


def seen(day: int, results: str, check: str = "memory test") -> str:
    return f'[[seen]]\nat = 2026-10-{day:02}T10:00:00\ncheck = "{check}"\n{results}\n'


def trial(day: int, run: str, result: str = "pass") -> str:
    return f'[[trial]]\nat = 2026-10-{day:02}T10:00:00\nrun = "{run}"\nresult = "{result}"\n'


FAILED = seen(5, 'failed = ["6H", "6L"]\npassed = ["5L"]')


@pytest.mark.parametrize(
    ("entries", "lacks"),
    [
        ("", []),
        (FAILED, ["failed when it was last made: 6H, 6L"]),
        (FAILED + seen(6, 'passed = ["6L"]'), ["failed when it was last made: 6H"]),
        (FAILED + seen(6, 'passed = ["6L", "6H"]'), []),
        (FAILED + trial(6, "memory test"), []),
        (FAILED + trial(6, "memory test", "fail"), ["failed when it was last made: 6H, 6L"]),
        (FAILED + trial(4, "memory test"), ["failed when it was last made: 6H, 6L"]),
        (FAILED + trial(6, "picture"), ["failed when it was last made: 6H, 6L"]),
        (seen(5, 'failed = ["VMEM"]', "supply resistance"), []),
    ],
    ids=["none", "failed", "one left", "again", "trial", "trial failed", "trial before", "picture", "other"],
)
def test_a_failed_memory_test_is_made_again(entries: str, lacks: list[str]) -> None:
    job = _job(STARTED + CAUSED + entries)._replace(outcome="repaired")
    assert [one.lacks for one in release_steps(job, Bench()) if one.shown_by == "seen"] == lacks
    assert release_steps(job._replace(outcome="beyond-repair"), Bench()) == ()
