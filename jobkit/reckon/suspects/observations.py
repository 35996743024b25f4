"""What was observed on a board: tests, readings with verdicts, injections, logs and trials, as symptoms.

Of a symptom that was observed several times the last time counts. What failed before a part was replaced that could
have caused it says nothing of the board as it is: it is set aside until it is tested again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime

from jobkit.book.logs.trouble import LogTrouble
from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Check, Design
from jobkit.jobs.entries import Reading, Seen, Work
from jobkit.jobs.job import Job
from jobkit.jobs.work_kinds import REPAIRS
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.memory.log_against_entry import seen_logs
from jobkit.reckon.memory.log_on_board import LogOnBoard
from jobkit.reckon.readings.limits import Judged, judge_reading
from jobkit.reckon.suspects.candidates import Candidate
from jobkit.reckon.suspects.symptoms import (
    Symptom,
    looks_damaged,
    named_symptom,
    outside,
    single_lines,
    symptoms_of_check,
    symptoms_of_reading,
    warms_first,
)
from jobkit.units.limit import Limit
from jobkit.units.quantity import Quantity

_REPLACES = REPAIRS | {"clean"}

_RESULTS = {"pass": False, "fail": True}
"""Whether a trial failed, by its result; one that was stopped shows neither."""


class Observed(NamedTuple):
    """A symptom that failed or passed: when, and the words of the entry."""

    symptom: Symptom
    failed: bool
    at: datetime | None
    words: str


class SetAside(NamedTuple):
    """A failure from before a piece of work that may have removed its cause."""

    observed: Observed
    work: Work


class Contradiction(NamedTuple):
    """A symptom that failed and passed with no work between: two observations that cannot both hold of one board."""

    earlier: Observed
    later: Observed


class Observations(NamedTuple):
    """What counts, what was set aside, what contradicts itself, and names of tests that nothing here has."""

    counted: tuple[Observed, ...] = ()
    set_aside: tuple[SetAside, ...] = ()
    contradictions: tuple[Contradiction, ...] = ()
    unknown: tuple[str, ...] = ()


def observations_of(job: Job, bench: Bench, candidates: Sequence[Candidate]) -> Observations:
    """Gather what was observed on a board with these possible causes."""
    design = bench.designs.get(job.board.design or "")
    checks = {
        one.name or "": one for one in (*(design.checks if design else ()), *_own_checks(job, bench, design))
    }
    every = sorted(
        (
            *_readings(job, bench, design),
            *_tests(job, checks, design),
            *_trials(job),
            *_injections(job),
            *_logs(job, bench),
        ),
        key=_moment,
    )
    last: dict[str, Observed] = {}
    contradictions = []
    for one in every:
        earlier = last.get(one.symptom.subject)
        if earlier and earlier.failed != one.failed and not _work_between(earlier, one, job.work):
            contradictions.append(Contradiction(earlier, one))
        last[one.symptom.subject] = one
        if not one.failed:  # how a channel failed in a log says nothing once it passes
            last.pop(single_lines(one.symptom.subject).subject, None)
    aside = [found for one in last.values() if (found := _set_aside(one, job.work, candidates))]
    gone = {found.observed.symptom.subject for found in aside}
    return Observations(
        tuple(one for name, one in last.items() if name not in gone),
        tuple(aside),
        tuple(contradictions),
        tuple(_unknown(job, checks, design)),
    )


def _own_checks(job: Job, bench: Bench, design: Design | None) -> Iterator[Check]:
    """Yield the checks that the bench has for this kind of board, and the board file does not."""
    known = design.check_names if design else frozenset()
    yield from (one for one in bench.settings.checks_for(job.board.kind) if one.name not in known)


def _moment(one: Observed) -> datetime:
    return one.at or datetime.min


def _readings(job: Job, bench: Bench, design: Design | None) -> Iterator[Observed]:
    for reading in job.readings:
        judged = judge_reading(reading, bench, design)
        if judged.verdict and judged.limit and judged.verdict.word != "near" and reading.settled:
            yield from _reading(judged, judged.limit)


def _reading(one: Judged, limit: Limit) -> Iterator[Observed]:
    """Yield what a reading shows: it is not outside its limit, or it is beyond one end."""
    reading, verdict = one.reading, one.verdict
    ends = symptoms_of_reading(reading, limit)
    if ends and verdict and verdict.word == "in":
        words = _read_words(reading, "within its limit")
        yield Observed(outside(ends), failed=False, at=reading.at, words=words)
    elif ends and verdict:
        side = _side(one, limit)
        beyond = next((end for end in ends if f" {side}" in end.name), ends[0])
        yield Observed(beyond, failed=True, at=reading.at, words=_read_words(reading, side))


def _side(one: Judged, limit: Limit) -> str:
    value: Quantity | None = one.corrected.value if one.corrected else one.reading.shown
    if limit.open or value is None:
        return "low"
    return "low" if limit.low is not None and value.value < limit.low.value else "high"


def _read_words(reading: Reading, verdict: str) -> str:
    shown = reading.shown.text if reading.shown else ""
    where = f"{reading.point} to {reading.to}" if reading.to else reading.point
    return f"{where} {reading.kind} {shown}, {verdict}"


def _tests(job: Job, checks: dict[str, Check], design: Design | None) -> Iterator[Observed]:
    """Yield what tests showed: each name under failed and passed, and the check itself if it covers nothing else."""
    parts = design.all_parts() if design else frozenset()
    for seen in job.seen:
        own = _covered(seen, checks, design)
        for names, failed in ((seen.failed, True), (seen.passed, False)):
            for name in names:
                symptom = _named(name, own | _names(design), parts)
                if symptom:
                    yield Observed(symptom, failed, seen.at, f"{name} {_fared(failed)}")
        if (seen.failed or seen.passed) and seen.check in own:
            failed = bool(seen.failed)
            yield Observed(named_symptom(seen.check), failed, seen.at, f"{seen.check} {_fared(failed)}")


def _covered(seen: Seen, checks: dict[str, Check], design: Design | None) -> frozenset[str]:
    check = checks.get(seen.check or "") or Check((), seen.check)
    return frozenset(one.name for one in symptoms_of_check(check, design))


def _names(design: Design | None) -> frozenset[str]:
    return design.channel_names | design.check_names if design else frozenset()


def _named(name: str, covered: Iterable[str], parts: Iterable[str]) -> Symptom | None:
    """Return what a name under failed or passed means; a part, or words that begin with one, is what the eye saw."""
    if name in covered:
        return named_symptom(name)
    first = name.split(" ", 1)[0].rstrip(",:;")
    return looks_damaged(first) if first in parts else None


def _fared(failed: bool) -> str:  # noqa: FBT001 - the one thing that is said
    return "failed" if failed else "passed"


def _trials(job: Job) -> Iterator[Observed]:
    for trial in job.trials:
        if trial.run and trial.result in _RESULTS:
            failed = _RESULTS[trial.result]
            yield Observed(named_symptom(trial.run), failed, trial.at, f"{trial.run} {_fared(failed)}")


def _injections(job: Job) -> Iterator[Observed]:
    for inject in job.injections:
        if inject.hottest:
            part = inject.hottest.split(" ", 1)[0].rstrip(",:;")
            words = f"{part} warms first, with current into {inject.rail}"
            yield Observed(warms_first(part), failed=True, at=inject.at, words=words)


def _logs(job: Job, bench: Bench) -> Iterator[Observed]:
    """Yield what logs show: the channels with errors that the entry leaves out, and in which way they fail."""
    for test in seen_logs(job, bench):
        if not isinstance(test.log, LogTrouble):
            yield from _log(test.seen, test.log)


def _log(seen: Seen, log: LogOnBoard) -> Iterator[Observed]:
    for channel, report in log.channels():
        if not report.counts.errors:
            continue
        if channel not in {*seen.failed, *seen.passed}:
            yield Observed(
                named_symptom(channel), failed=True, at=seen.at, words=f"{channel} has errors in its log"
            )
        if report.faults.lines or report.faults.words:
            single = bool(report.faults.lines)
            how = "single data lines" if single else "whole words or no line in particular"
            yield Observed(
                single_lines(channel), failed=single, at=seen.at, words=f"{channel} fails on {how}"
            )


def _work_between(earlier: Observed, later: Observed, work: Sequence[Work]) -> bool:
    """Whether anything was done to the board between two observations; yes where the times do not tell."""
    if earlier.at is None or later.at is None:
        return True
    return any(one.at is None or earlier.at <= one.at <= later.at for one in work if one.did != "inspect")


def _set_aside(one: Observed, work: Sequence[Work], candidates: Sequence[Candidate]) -> SetAside | None:
    """Return a failure with the later work on a part that could have caused it; None if there is none."""
    if not one.failed or one.at is None:
        return None
    for done in work:
        if done.at and done.at > one.at and done.did in _REPLACES:
            causes = (cause for cause in candidates if _is_treated(cause, done))
            if any(one.symptom.probability(cause.affects) > 0 for cause in causes):
                return SetAside(one, done)
    return None


def _is_treated(cause: Candidate, work: Work) -> bool:
    if work.part:
        return cause.part == work.part
    return cause.part is None and work.did == "thermal" and "paste" in cause.name.casefold()


def _unknown(job: Job, checks: dict[str, Check], design: Design | None) -> Iterator[str]:
    """Yield what was seen to fail under a name that nothing in the board file has."""
    parts = design.all_parts() if design else frozenset()
    for seen in job.seen:
        covered = _covered(seen, checks, design) | _names(design)
        yield from (name for name in seen.failed if _named(name, covered, parts) is None)
