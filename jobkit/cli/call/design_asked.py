"""The one design that a command was asked about."""

from __future__ import annotations

from collections.abc import Iterable

from jobkit.book.read.lookup import NoSuchDesignError, design_named
from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.naming import spelled


def design_asked(bench: Bench, facts: Iterable[Facts], name: str) -> str:
    """Find the name of a design; jobs may name one that has no board file yet. Raises NoSuchDesignError."""
    try:
        return design_named(bench, name).name
    except NoSuchDesignError:
        named_by_jobs = spelled(name, {one.design for one in facts if one.design})
        if named_by_jobs is None:
            raise
        return named_by_jobs
