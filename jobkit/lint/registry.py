"""The register of rules: one function, one rule, one place.

A rule is a generator that yields what it found. Its name is the function's, with hyphens; its documentation is its
docstring: one line, then four parts: What it finds, Why it matters, How to fix, Example. What it depends on decides
which decorator it carries, because the answers of the first two sorts are kept for as long as the file and the bench's
own files stay as they are:

=============  ==================================  ============================================================
decorator      takes                               depends on
=============  ==================================  ============================================================
`@rule`        the job, the bench                  the job and bench.toml, meters, stock, board files: no more
`@text_rule`   the text of a job or a board file   that text
`@log_rule`    the job, the bench                  also the contents of files that the job names (`bench.contents`)
`@live_rule`   the job, the bench                  also the day (`bench.today`) and the files (`bench.paths`,
                                                   `bench.repository`); runs only where its screen lets the facts by
`@book_rule`   facts of a job, all jobs, the bench also other jobs, by those of their facts that it says it reads,
                                                   and the files that it opens, where it says that it does
`@own_rule`    the bench                           the bench's own files; never kept
`@terms_rule`  the bench, the facts of all jobs    also the terms before; runs only where their files have changed
`@last_rule`   waivers of a job, all its findings  what every other rule found
=============  ==================================  ============================================================
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.finding import LEVELS, Finding, Place
from jobkit.jobs.job import Job
from jobkit.lint.protocols import Jobs, JobSummary, Waiving
from jobkit.named_tuple import NamedTuple


class Found(NamedTuple):
    """What a rule says of a place; `level` only where it is not the rule's own.

    A rule about something missing names the place where it should stand: a finding is at the nearest place that is
    there, and is dropped where that place could not be read.
    """

    place: Place
    about: str
    message: str
    mend: str
    level: str | None = None


class FoundIn(NamedTuple):
    """What a rule says of one of the bench's own files, named by its path in the book."""

    file: str
    found: Found


class FoundAt(NamedTuple):
    """What a rule says of a stretch of text that begins `start` characters into it."""

    start: int
    about: str
    message: str
    mend: str


JobCheck = Callable[[Job, Bench], Iterator[Found]]
TextCheck = Callable[[str], Iterator[FoundAt]]
Screen = Callable[[JobSummary, Bench], bool]
Asks = Callable[[Facts, Bench], bool]
BookCheck = Callable[[Facts, Jobs, Bench], Iterator[Found]]
OwnCheck = Callable[[Bench], Iterator[FoundIn]]
TermsCheck = Callable[[Bench, Callable[[], Sequence[Facts]]], Iterator[FoundIn]]
LastCheck = Callable[[Waiving, Sequence[Finding]], Iterator[Found]]


class Rule(NamedTuple):
    """A rule's name, its level unless the bench moves it, its documentation, and the module it is in.

    One that is not `waivable` can neither be waived by a job nor moved by the bench.
    """

    name: str
    level: str
    text: str
    group: str
    waivable: bool = True


class Across(NamedTuple):
    """A rule across jobs: for which jobs it has anything to ask, and which facts it reads, of any job.

    As long as no job comes or goes, and none of those facts changes in any of them, its answer stays what it was.
    `asks` is told from those facts of a job and the bench's own files; None means jobs that share their file's name.
    One that is `whole` speaks only in a check of the whole book. One that `opens` files (`bench.contents`) gives its
    answer as long as those, too, stay what they are.
    """

    made: Rule
    check: BookCheck
    asks: Asks | None
    reads: tuple[str, ...]
    whole: bool
    opens: bool


RULES: dict[str, Rule] = {}
JOB_CHECKS: list[tuple[Rule, JobCheck]] = []
TEXT_CHECKS: list[tuple[Rule, TextCheck]] = []
LOG_CHECKS: list[tuple[Rule, JobCheck]] = []
LIVE_CHECKS: list[tuple[Rule, Screen, JobCheck]] = []
BOOK_CHECKS: list[Across] = []
OWN_CHECKS: list[tuple[Rule, OwnCheck]] = []
TERMS_CHECKS: list[tuple[Rule, TermsCheck]] = []
LAST_CHECKS: list[tuple[Rule, LastCheck]] = []


def rule(level: str) -> Callable[[JobCheck], JobCheck]:
    """Register a rule about one job, whose answer depends on that job and the bench's own files alone."""

    def register(check: JobCheck) -> JobCheck:
        JOB_CHECKS.append((_rule(check, level), check))
        return check

    return register


def text_rule(level: str) -> Callable[[TextCheck], TextCheck]:
    """Register a rule about the text of a job or board file as it is, comments and all."""

    def register(check: TextCheck) -> TextCheck:
        TEXT_CHECKS.append((_rule(check, level), check))
        return check

    return register


def log_rule(level: str) -> Callable[[JobCheck], JobCheck]:
    """Register a rule about one job whose answer depends on what is in the files that the job names, too.

    Its answer is kept for as long as the files that it opened have the contents that they had.
    """

    def register(check: JobCheck) -> JobCheck:
        LOG_CHECKS.append((_rule(check, level), check))
        return check

    return register


def live_rule(level: str, screen: Screen, *, waivable: bool = True) -> Callable[[JobCheck], JobCheck]:
    """Register a rule about one job whose answer changes with the day or with the files beside it.

    `screen` is asked first, with the facts of the job: it must be quick, and let by every job that the rule would
    mention.
    """

    def register(check: JobCheck) -> JobCheck:
        LIVE_CHECKS.append((_rule(check, level, waivable=waivable), screen, check))
        return check

    return register


def book_rule(
    level: str, asks: Asks | None, reads: tuple[str, ...] = (), *, waivable: bool = True, whole: bool = False
) -> Callable[[BookCheck], BookCheck]:
    """Register a rule about one job in the light of others, told from their facts; see `Across`."""

    def register(check: BookCheck) -> BookCheck:
        BOOK_CHECKS.append(
            Across(_rule(check, level, waivable=waivable), check, asks, reads, whole, opens=False)
        )
        return check

    return register


def own_rule(level: str) -> Callable[[OwnCheck], OwnCheck]:
    """Register a rule about the bench's own files: bench.toml, meters.toml, stock.toml and the board files.

    Waivers are in jobs, so such a finding is fixed, or its rule moved in bench.toml.
    """

    def register(check: OwnCheck) -> OwnCheck:
        OWN_CHECKS.append((_rule(check, level), check))
        return check

    return register


def terms_rule(level: str) -> Callable[[TermsCheck], TermsCheck]:
    """Register a rule about a change of the bench's terms, which asks for the facts of all jobs where it needs them."""

    def register(check: TermsCheck) -> TermsCheck:
        TERMS_CHECKS.append((_rule(check, level), check))
        return check

    return register


def own_look(name: str) -> Callable[[OwnCheck], OwnCheck]:
    """Register what a rule that is known by `name` from the jobs says of the bench's own files."""

    def register(check: OwnCheck) -> OwnCheck:
        OWN_CHECKS.append((RULES[name], check))
        return check

    return register


def book_look(
    name: str, asks: Asks, reads: tuple[str, ...], *, opens: bool = False
) -> Callable[[BookCheck], BookCheck]:
    """Register what a rule that is known by `name` from one job says in the light of others; see `Across`.

    It takes the place of what the rule says of the same subject in the job alone.
    """

    def register(check: BookCheck) -> BookCheck:
        BOOK_CHECKS.append(Across(RULES[name], check, asks, reads, whole=False, opens=opens))
        return check

    return register


def last_rule(level: str) -> Callable[[LastCheck], LastCheck]:
    """Register a rule about what all the others found in one job file."""

    def register(check: LastCheck) -> LastCheck:
        LAST_CHECKS.append((_rule(check, level), check))
        return check

    return register


def _rule(check: Callable[..., object], level: str, *, waivable: bool = True) -> Rule:
    name = check.__name__.replace("_", "-")
    assert name not in RULES, f"two rules have the name {name}"
    assert level in LEVELS, f"{name} has no level {level}"
    group = check.__module__.rpartition(".")[2]
    RULES[name] = Rule(name, level, check.__doc__ or "", group, waivable)
    return RULES[name]


SCHEMA = RULES["schema"] = Rule(
    "schema",
    "error",
    """A file cannot be read, or says something that its schema does not allow.

    What it finds: a file that is not TOML or not UTF-8; an unknown or missing key; a value of the wrong type, unit or
    form.

    Why it matters: what cannot be read is left out of every list, verdict and reminder.

    How to fix: the finding names the key and shows how it is written. An editor with the book's schema shows the same
    while you type.

    Example: `value = "23.4 kg"` under a reading of resistance: a resistance is written like "23.4 Ω".
    """,
    "files",
    waivable=False,
)
"""Not a function: these findings are made where files are read."""
