"""What the thermocouple logs of a job show, each checked against what its piece of work heated."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from functools import cache
from itertools import repeat
from posixpath import normpath

from jobkit.book.logs.trouble import LogTrouble
from jobkit.jobs.bench import Bench
from jobkit.jobs.contents import trouble_of
from jobkit.jobs.entries import Work
from jobkit.jobs.job import Job
from jobkit.jobs.job_folder import attachment_path
from jobkit.jobs.memoise import memoise_last
from jobkit.jobs.settings import LogHabit
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.heat.figures import WINDOW
from jobkit.reckon.heat.heating import Heating, Placed, heating_of, not_in_the_log, placed
from jobkit.reckon.heat.package_limits import Body, Maximum, classification
from jobkit.reckon.heat.probe import BODY, JOINT
from jobkit.reckon.heat.profile_check import Check, Conditions, check_heating, worst_of
from jobkit.reckon.heat.solder import Solder, solder_named
from jobkit.units.phrase import Figure, phrase

PLACE_UNKNOWN = "place unknown"
"""Why a thermocouple was not checked whose place is not told."""


class HeatEvidence(NamedTuple):
    """What the log of a piece of work shows; without a `heating` it could not be used, and `trouble` says why.

    `missing` are the columns that `probe` names and the log has not.
    """

    work: Work
    heating: Heating | None = None
    columns: tuple[Placed, ...] = ()
    checks: tuple[Check, ...] = ()
    missing: tuple[str, ...] = ()
    trouble: str = ""

    @property
    def word(self) -> str:
        """The verdict of the log: in, out, near; "" where nothing was checked or something could not be."""
        return worst_of(self.checks)

    @property
    def worst(self) -> tuple[Check, ...]:
        """The checks that make the verdict what it is."""
        return tuple(check for check in self.checks if check.word == self.word)


@memoise_last
def heat_logs_in(job: Job, bench: Bench) -> tuple[HeatEvidence, ...]:
    """Read the thermocouple logs of all pieces of work of a job."""
    found = (heat_log_of(work, job, bench) for work in job.work)
    return tuple(one for one in found if one)


def heat_log_of(work: Work, job: Job, bench: Bench) -> HeatEvidence | None:
    """Read the log of a piece of work and check it; None for one without a log, or where no files are at hand."""
    if work.heat is None:
        return None
    path = normpath(attachment_path(job.path, work.heat))
    found = bench.contents.made_of(path, heating_reader(bench))
    if found is None:
        is_missing = bench.contents.are_at_hand
        return HeatEvidence(work, trouble=trouble_of(path, bench.contents)) if is_missing else None
    if isinstance(found, LogTrouble):
        return HeatEvidence(work, trouble=found.in_book("heat"))
    columns = placed(found, dict(work.probe), work.part or "")
    checks = check_heating(columns, conditions_of(work, job, bench))
    return HeatEvidence(work, found, columns, checks, not_in_the_log(found, dict(work.probe)))


def free_places(evidence: HeatEvidence) -> Iterator[str]:
    """Propose places in turn: those of the heated part that have no thermocouple, then ones beside it."""
    part, told = evidence.work.part or "U1", {(one.probe.part, one.probe.where) for one in evidence.columns}
    yield from (f"{part} {where}" for where in (JOINT, BODY) if (part, where) not in told)
    yield from repeat("board edge")


def conditions_of(work: Work, job: Job, bench: Bench) -> Conditions:
    """Say what a piece of work is checked against."""
    policy, name = bench.settings.heat, solder_name(work)
    solder = solder_named(name, policy.solders) if name else None
    return Conditions(
        work.did or "",
        work.part or "",
        solder,
        name,
        dict(_ratings(work, job, bench, solder)),
        None,
        policy,
        bench.settings.decision,
    )


def solder_name(work: Work) -> str:
    """Name the solder that was melted: that of the removal where a part came off with one of its own."""
    return (work.removal_alloy if work.did == "remove" else None) or work.alloy or ""


def heating_reader(bench: Bench) -> Callable[[bytes], Heating | LogTrouble]:
    """Give what describes a thermocouple log from its bytes, read as bench.toml says."""
    return _reader(bench.settings.logs.get("heat", LogHabit()))


@cache
def _reader(habit: LogHabit) -> Callable[[bytes], Heating | LogTrouble]:
    """Return the one function that reads logs of a habit, so that what it made of a file is remembered."""
    return lambda content: heating_of_content(content, habit)


def heating_of_content(content: bytes, habit: LogHabit = LogHabit()) -> Heating | LogTrouble:  # noqa: B008 - never changed
    """Describe a thermocouple log from its bytes."""
    # Most jobs name no log.
    from jobkit.book.logs.kept import kept_options  # noqa: PLC0415
    from jobkit.book.logs.thermocouple import read_heat_log  # noqa: PLC0415

    log = read_heat_log(io.BytesIO(content), kept_options(habit))
    return log if isinstance(log, LogTrouble) else heating_of(log, WINDOW)


def _ratings(work: Work, job: Job, bench: Bench, solder: Solder | None) -> Iterator[tuple[str, Maximum]]:
    """Yield the highest peak of each package that is known: by the board file, the stock, and the part used."""
    design = bench.designs.get(job.board.design or "")
    bodies: dict[str, list[Body]] = {}
    for package in design.packages if design else ():
        if package.part:
            bodies.setdefault(package.part, []).append(
                Body(package.classified, package.body_mm, package.body_mm3)
            )
    for used in job.used:
        item = bench.stock.get(used.item or "")
        if used.part and item:
            bodies.setdefault(used.part, []).append(Body(item.classified, item.body_mm, item.body_mm3))
    for part, known in bodies.items():
        leaded = bool(solder and solder.has_lead) and part == work.part
        rating = classification(known, leaded=leaded)
        if rating:
            yield part, rating


def check_words(check: Check) -> str:
    """Say in a phrase what a check found.

    >>> check_words(Check("peak", "U3 joint", "t1", None, None, None, "the solder is not known"))
    'U3 joint: the solder is not known'
    """
    if check.value is None or check.limit is None or not check.word:
        place = check.place if check.place != check.why else check.column
        return phrase("{what}: {why}", what=place, why=check.why)
    return phrase(
        "{place} {figure} {value}, limit {limit}",
        place=check.place,
        figure=check.name,
        value=Figure(check.value.text),
        limit=Figure(check.limit.text),
    )
