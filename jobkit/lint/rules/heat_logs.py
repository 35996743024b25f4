"""The logs of heatings: whether there is one, where the thermocouples sat, and whether package and solder bore it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence

from jobkit.jobs.bench import Bench
from jobkit.jobs.entries import Work
from jobkit.jobs.facts import Facts
from jobkit.jobs.job import Job
from jobkit.lint.protocols import Jobs
from jobkit.lint.registry import Found, book_look, log_rule, rule
from jobkit.lint.rules.entry_logs import EntryLog
from jobkit.lint.rules.stays import earlier_stays_of
from jobkit.reckon.heat.cycles import cycles_words, most_by_entries
from jobkit.reckon.heat.cycles import heat_cycles as count_heat_cycles
from jobkit.reckon.heat.probe import BODY, JOINT
from jobkit.reckon.heat.stays import read_stays
from jobkit.reckon.heat.warm import is_soldered, is_warming
from jobkit.reckon.heat.work_log import PLACE_UNKNOWN, HeatEvidence, check_words, free_places, heat_logs_in

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")


@rule("warning")
def heat_log_missing(job: Job, bench: Bench) -> Iterator[Found]:
    """A part was soldered without a thermocouple log, and the bench asks for one.

    What it finds: a `remove`, `fit`, `swap` or `reflow` of a soldered part without `heat`, where bench.toml has
    `log = true` under [heat].

    Why it matters: without a log there is no telling how hot the package became, and how often it has been heated.

    How to fix: name the log, as in `heat = "heat.csv"`. If there is none, add a waiver that says why.

    Example: `did = "fit"`, `part = "U3"` and no `heat`.
    """
    for work in job.work if bench.settings.heat.log else ():
        if is_soldered(work) and not work.heat:
            message = f"{work_words(work)} has no thermocouple log"
            yield Found((*work.path, "part"), work.part or "", message, 'name the log: heat = "heat.csv"')


@log_rule("error")
def heat_outside(job: Job, bench: Bench) -> Iterator[Found]:
    """The log of a heating shows a limit of the package or of the solder exceeded.

    What it finds: a thermocouple at the body top of a package above its classification temperature, near that for too
    long, above liquidus for too long, or with too steep a ramp (J-STD-020, or your own limits in bench.toml); one at a
    joint that did not become hot enough for its solder, or was above liquidus for too short or too long.

    Why it matters: a package that was too hot may fail weeks later, and so may a cold joint; both look sound today.

    How to fix: `jobkit heat JOB` shows the log. Change the profile before the next heating. What was done stays done:
    add a waiver that says how you know that the part is sound, or replace it.

    Example: a package classified for 250 °C whose body top reached 262 °C.
    """
    for evidence in heat_logs_in(job, bench):
        for check in evidence.checks:
            if check.word == "out":
                message = f"the log {evidence.work.heat} shows {check_words(check)}"
                mend = "see `jobkit heat`; change the profile, or add a waiver with the reason"
                yield Found((*evidence.work.path, "heat"), f"{check.place} {check.name}", message, mend)


@log_rule("warning")
def place_unknown(job: Job, bench: Bench) -> Iterator[Found]:
    """It is not told where a thermocouple sat, so its column gives no verdict.

    What it finds: a column of a thermocouple log that `probe` does not name, or for which it names a place that is
    neither a joint, nor the body top of a package, nor a place without limits such as "board edge".

    Why it matters: package and solder have different limits; a temperature without a place shows nothing.

    How to fix: write where it sat, as in `probe = { t1 = "U3 joint", t2 = "U3 body top" }`.

    Example: a log with t1 and t2, and `probe = { t1 = "U3 joint" }`.
    """
    for evidence in heat_logs_in(job, bench):
        free = free_places(evidence)
        for check in evidence.checks:
            if check.why == PLACE_UNKNOWN:
                said = dict(evidence.work.probe).get(check.column)
                where = (
                    f'"{said}" is not a joint or a body top' if said else "probe does not say where it sat"
                )
                message = f"{check.column} of the log {evidence.work.heat} gives no verdict: {where}"
                mend = f'write it like probe = {{ {_key(check.column)} = "{next(free)}" }}'
                yield Found(_probe_place(evidence.work, check.column), check.column, message, mend)


@log_rule("warning")
def heat_log_unlike(job: Job, bench: Bench) -> Iterator[Found]:
    """The log of a heating does not fit its entry, or cannot be trusted.

    What it finds: a log that cannot be read; one that was begun on another day than the work; a column that `probe`
    names and the log does not have; a thermocouple that was open, loose, noisy, reversed or swapped; a solder or a
    classification temperature that is not known; time without readings while the board was hot; a part that was heated
    without a thermocouple at the top of its body (a note), or on it at all; a log that an earlier piece of work names
    too.

    Why it matters: what such a log leaves open has not been checked.

    How to fix: name the right log and columns; write `alloy`; give the package its `classified` in the board file.

    Example: `probe = { t3 = "U4 body top" }` with a log of t1 and t2.
    """
    yield from _named_twice(job)
    for evidence in heat_logs_in(job, bench):
        work = evidence.work
        log = EntryLog((*work.path, "heat"), work.heat or "", "work", work.at, "heating")
        if evidence.heating is None:
            yield from log.unusable(evidence.trouble, "a thermocouple log")
            continue
        for column in evidence.missing:
            message = f"the log {work.heat} has no column {column}"
            yield Found((*work.path, "probe", column), column, message, "name the column as the log does")
        yield from _unchecked(evidence)
        yield from _unmeasured(evidence)
        yield from log.of_another_day(evidence.heating.begun, evidence.heating.seconds)


@log_rule("error")
def heat_cycles(job: Job, bench: Bench) -> Iterator[Found]:
    """A package has been heated above liquidus more often than the bench allows.

    What it finds: a package that this job heated, whose bench heatings in this job and in the earlier ones of the
    board (same serial number, or led back to by `comeback.of`) are more than `cycles` under [heat] in bench.toml:
    removals, fittings, reflows and reballs, each as often as its log shows, once without a log, and heatings of its
    neighbours where a thermocouple on it shows that it melted. A new package begins at nothing. It is a warning where
    only heatings along without a thermocouple make it too many.

    Why it matters: each heating ages package, pads and board; a package that is heated once too often fails later.

    How to fix: fit another package, or add a waiver that says why this one may stay. `show` lists the heatings.

    Example: `cycles = 2`, and a package that was reflowed three times.
    """
    is_few = (
        not any(work.heat for work in job.work) and most_by_entries(job.work) <= bench.settings.heat_cycles
    )
    if not is_few and any(map(is_warming, job.work)):
        yield from _too_often((job,), bench)


def _was_worked_on(job: Facts, _bench: Bench) -> bool:
    return bool((job.serial or job.comeback_of) and job.work)


@book_look("heat-cycles", _was_worked_on, ("id", "serial", "received", "work", "comeback_of"), opens=True)
def heat_cycles_over_stays(job: Facts, jobs: Jobs, bench: Bench) -> Iterator[Found]:
    """Count the heatings over all stays of the board, as their logs show them."""
    earlier = earlier_stays_of(job, jobs, bench)
    stays = read_stays((*earlier, job), bench) if any(one.work for one in earlier) else ()
    if stays and stays[-1].path == job.path:
        yield from _too_often(stays, bench)


def _too_often(stays: Sequence[Job], bench: Bench) -> Iterator[Found]:
    """Yield the packages that the last of these stays heated and that have seen too many heatings over all of them."""
    job, allowed = stays[-1], bench.settings.heat_cycles
    over = f" (counted over {', '.join(one.id for one in stays)})" if len(stays) > 1 else ""
    for part, one in count_heat_cycles(stays, bench).items():
        here = [heated.work for heated in (*one.heatings, *one.maybe) if heated.job == job.id]
        if not here or one.package + one.perhaps <= allowed:
            continue
        last = max(here, key=lambda work: work.path)
        message = f"{part} has seen {cycles_words(one)}; the bench allows {allowed}{over}"
        key = "part" if last.part == part else "near" if part in last.near else "heat"
        level = None if one.package > allowed else "warning"
        yield Found((*last.path, key), part, message, "fit another, or add a waiver with the reason", level)


def _key(column: str) -> str:
    """Write a heading as a key of TOML: in quotes where it has more than letters, digits, "_" and "-"."""
    return column if _BARE_KEY.fullmatch(column) else json.dumps(column, ensure_ascii=False)


def _named_twice(job: Job) -> Iterator[Found]:
    """Yield a log that an earlier piece of work names too: one file shows one heating."""
    seen: dict[str, Work] = {}
    for work in job.work:
        if work.heat in seen:
            message = f"the log {work.heat} is that of the {work_words(seen[work.heat])} already: it shows one heating"
            yield Found((*work.path, "heat"), work.heat, message, "give each heating a log of its own")
        elif work.heat:
            seen[work.heat] = work


def _unchecked(evidence: HeatEvidence) -> Iterator[Found]:
    """Yield each reason once for which a column gives no verdict."""
    open_ones = [one for one in evidence.checks if not one.word and one.column and one.why != PLACE_UNKNOWN]
    for (column, why), check in {(one.column, one.why): one for one in open_ones}.items():
        message = f"{column} ({check.place}) of the log {evidence.work.heat} is not checked: {why}"
        yield Found((*evidence.work.path, "heat"), column, message, "see `jobkit heat` for what it needs")


def _unmeasured(evidence: HeatEvidence) -> Iterator[Found]:
    """Yield the places of the heated part without a thermocouple; where it had none at all, that alone."""
    work, places = evidence.work, [one.probe for one in evidence.columns if one.probe.where in {BODY, JOINT}]
    if work.part and places and all(one.part != work.part for one in places):
        message = (
            f"no thermocouple of the log {work.heat} was on {work.part}: {work_words(work)} is not checked"
        )
        yield Found(
            (*work.path, "heat"), work.part, message, "correct probe, or name the log of this heating"
        )
        return
    for check in evidence.checks:
        if not check.column:
            message = f"{check.place} is not checked: {check.why}, as the log {work.heat} shows"
            mend = "put a thermocouple there at the next heating; for this one, add a waiver with the reason"
            yield Found((*work.path, "heat"), check.place, message, mend, "note")


def _probe_place(work: Work, column: str) -> tuple[str | int, ...]:
    named = {name for name, _ in work.probe}
    return (*work.path, "probe", column) if column in named else (*work.path, "heat")


def work_words(work: Work) -> str:
    """Name a piece of work: "fit of U3"."""
    return " of ".join(filter(None, (work.did, work.part)))
