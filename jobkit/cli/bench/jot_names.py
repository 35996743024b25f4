"""What the words of an entry may name: parts, rails, checks, items, rules, jobs."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from pathlib import PurePosixPath
from typing import Any

from jobkit.book.read.lookup import job_path
from jobkit.cli.bench.writing import Writing
from jobkit.jobs.job import Job
from jobkit.lint.rules.catalogue import all_rules
from jobkit.reckon.entry.value_parsing import JotContext


class _Sources(Sequence[str]):
    """Where a part can come from; the jobs of the book are listed only when a word is none of the other sources."""

    _first = ("stock", "bought", "client")

    def __init__(self, job_paths: Sequence[str]) -> None:
        self._job_paths = job_paths

    @cached_property
    def _all(self) -> tuple[str, ...]:
        return (*self._first, *(PurePosixPath(path).stem for path in self._job_paths))

    def __contains__(self, word: object) -> bool:
        return word in self._first or word in self._all

    def __getitem__(self, at: Any) -> Any:
        return self._all[at]

    def __len__(self) -> int:
        return len(self._all)


def known_to(writing: Writing, job: Job) -> JotContext:
    """Gather what words may name."""
    bench = writing.book.bench
    design = bench.designs.get(job.board.design or "")
    policy = bench.settings.proof_for(job.board.kind, job.outcome)
    parts = tuple(sorted(design.all_parts())) if design else ()
    runs = policy.runs if policy else ()
    points = tuple(point.name for point in design.points if point.name) if design else ()
    names: dict[str, Sequence[str]] = {
        "part": parts,
        "near": parts,
        "hottest": parts,
        "rail": tuple(rail.name for rail in design.rails if rail.name) if design else (),
        "check": tuple(check.name for check in design.checks if check.name) if design else (),
        "run": runs,
        "item": tuple(bench.stock),
        "meter": tuple(bench.meters),
        "rule": tuple(all_rules()),
        "about": (*points, *parts),
        "with": ("client", "carrier", "supplier"),
        "design": tuple(bench.designs),
        "from": _Sources(writing.book.job_paths),
    }
    return JotContext(
        writing.now,
        names,
        bench.settings.currency,
        lambda word: PurePosixPath(job_path(writing.book, word)).stem,
    )
