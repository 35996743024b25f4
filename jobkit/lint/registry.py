"""The register of rules: one function, one rule, one place.

A rule is a generator that takes what it looks at and the bench, and yields what it found. Its name is the
function's, with hyphens; its documentation is its docstring, in four parts: What it finds, Why it matters, How to
mend, Example.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.finding import Place
from jobkit.jobs.job import Job


class Found(NamedTuple):
    """What a rule says of a place; `level` only where it is not the rule's own."""

    place: Place
    about: str
    message: str
    mend: str
    level: str | None = None


class FoundIn(NamedTuple):
    """What a rule across jobs says, and in which job file."""

    facts: Facts
    found: Found


JobCheck = Callable[[Job, Bench], Iterator[Found]]
BookCheck = Callable[[tuple[Facts, ...], Bench], Iterator[FoundIn]]


class Rule(NamedTuple):
    """A rule's name, its level unless the bench moves it, and its documentation."""

    name: str
    level: str
    text: str
    waivable: bool = True


JOB_RULES: dict[str, tuple[Rule, JobCheck]] = {}
BOOK_RULES: dict[str, tuple[Rule, BookCheck]] = {}

SCHEMA = Rule(
    "schema",
    "error",
    """A file cannot be read, or says something that its schema does not allow.

    What it finds: a file that is no TOML or not UTF-8; an unknown or missing key; a value of the wrong type, unit or
    form.

    Why it matters: what cannot be read is left out of every list, verdict and reminder.

    How to mend: the finding names the key and shows how it is written. An editor with the book's schema shows the same
    while you type.

    Example: `value = "23.4 kg"` under a reading of resistance: a resistance is written like "23.4 Ω".
    """,
    waivable=False,
)


def rule(level: str, *, waivable: bool = True) -> Callable[[JobCheck], JobCheck]:
    """Register a rule about one job, whose answer depends on that job and the bench's own files alone."""

    def register(check: JobCheck) -> JobCheck:
        made = _rule(check, level, waivable=waivable)
        JOB_RULES[made.name] = made, check
        return check

    return register


def book_rule(level: str, *, waivable: bool = True) -> Callable[[BookCheck], BookCheck]:
    """Register a rule across jobs, which sees the facts of all of them."""

    def register(check: BookCheck) -> BookCheck:
        made = _rule(check, level, waivable=waivable)
        BOOK_RULES[made.name] = made, check
        return check

    return register


def _rule(check: Callable[..., object], level: str, *, waivable: bool) -> Rule:
    return Rule(check.__name__.replace("_", "-"), level, check.__doc__ or "", waivable)
