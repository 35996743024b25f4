"""All rules, by name. A new module of rules is named here once."""

from __future__ import annotations

from jobkit.lint import dates, identity, readings
from jobkit.lint.registry import BOOK_RULES, JOB_RULES, SCHEMA, BookCheck, JobCheck, Rule

MODULES = (identity, dates, readings)


def all_rules() -> dict[str, Rule]:
    """Give every rule, the schema's first, then in the order of the modules."""
    rules = {SCHEMA.name: SCHEMA}
    rules |= {name: made for name, (made, _) in JOB_RULES.items()}
    return rules | {name: made for name, (made, _) in BOOK_RULES.items()}


def job_checks() -> tuple[tuple[Rule, JobCheck], ...]:
    """Give the rules about one job."""
    return tuple(JOB_RULES.values())


def book_checks() -> tuple[tuple[Rule, BookCheck], ...]:
    """Give the rules across jobs."""
    return tuple(BOOK_RULES.values())
