"""What rules work out together of the job in hand is what each would have worked out alone, in whatever order."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.book.read.load import Loaded, load_jobs, open_book
from jobkit.book.shelf.opening import Tree
from jobkit.jobs.attachments import attachments
from jobkit.jobs.bench import Bench
from jobkit.jobs.digest import facts_of
from jobkit.jobs.manner import proofs_by_manner
from jobkit.lint.check.one_file import alone, check_job
from jobkit.lint.rules.currencies import sums
from jobkit.reckon.heat.fittings import used_with_fitting
from jobkit.reckon.heat.part_places import in_order as work_in_order
from jobkit.reckon.load_run.trial import evidence_in
from jobkit.reckon.progress.trials import in_order as trials_in_order
from jobkit.reckon.readings.of_job import doubtful_proofs, proof_quick_verdicts, quick_verdicts
from tests.lint.laid import BOOK

EXAMPLE = open_book(Tree(Path(__file__).parents[2] / "jobs_example"))
SMALL = open_book(Tree(BOOK))
BENCHES = (alone(EXAMPLE.bench), alone(SMALL.bench))
JOBS = tuple(loaded for book in (EXAMPLE, SMALL) for loaded in load_jobs(book.shelf, book.job_paths))
ASKED = st.lists(st.tuples(st.sampled_from(range(len(JOBS))), st.sampled_from((0, 1))), max_size=30)

FINDINGS = {(row, at): check_job(JOBS[row], BENCHES[at]) for at in (0, 1) for row in range(len(JOBS))}


def _asked_about(remembered: Callable[..., Any], loaded: Loaded, bench: Bench) -> tuple[Any, ...]:
    """Give what a function is asked about."""
    job = loaded.job
    assert job is not None
    one: dict[Any, tuple[Any, ...]] = {
        facts_of: (job,),
        sums: (job,),
        attachments: (job,),
        proofs_by_manner: (job.readings,),
        work_in_order: (job.work,),
        trials_in_order: (job.trials,),
        used_with_fitting: (job.work, job.used),
    }
    return one.get(remembered, (job, bench))


@pytest.mark.parametrize(
    "remembered",
    [
        facts_of,
        sums,
        attachments,
        proofs_by_manner,
        work_in_order,
        trials_in_order,
        used_with_fitting,
        quick_verdicts,
        proof_quick_verdicts,
        doubtful_proofs,
        evidence_in,
    ],
)
@given(ASKED)
def test_what_is_remembered_is_what_would_be_worked_out(
    remembered: Callable[..., Any], asked: list[tuple[int, int]]
) -> None:
    afresh = remembered.__wrapped__  # type: ignore[attr-defined]
    for row, at in asked:
        about = _asked_about(remembered, JOBS[row], BENCHES[at])
        assert remembered(*about) == afresh(*about)


@given(ASKED)
def test_a_job_has_the_same_findings_whatever_was_checked_before(asked: list[tuple[int, int]]) -> None:
    for row, at in asked:
        assert check_job(JOBS[row], BENCHES[at]) == FINDINGS[row, at]
