"""How many repaired boards come back, how soon, and what of: from the bench's own jobs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date

from jobkit.jobs.asof import known_on
from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.statistics.proportion import Interval, wilson
from jobkit.reckon.statistics.survival import Stay, SurvivalStep, kaplan_meier
from jobkit.reckon.warranty.cover import Cover, History, comebacks, cover, left_on

FEW = 20
"""Below so many comebacks a page says how little that is."""

FEW_BOARDS = 5
"""Below so many boards a share says nothing: they are named in one line (our own choice, no source)."""

NOT_YET = "not known yet"
"""What was found, while nothing is written."""

_EVERY_BOARD = frozenset(("inspect", "clean", "other", ""))


class Case(NamedTuple):
    """A finished, repaired board that left with a warranty: when it left, how long it was watched, how it went on.

    `end` is the last day on which it was covered. `back` is the job as which it came back by then, `late` the one as
    which it came back afterwards, None where it did not. `stay` runs from leaving to coming back, or to the earlier
    of `end` and the day asked about.
    """

    facts: Facts
    cover: Cover
    left: date
    end: date
    back: Facts | None
    late: Facts | None
    stay: Stay


class Group(NamedTuple):
    """Jobs that have something in common, and how many of them came back."""

    name: str
    jobs: int
    comebacks: int
    interval: Interval


class Study(NamedTuple):
    """What the bench's own jobs tell of comebacks, as of the end of `on`.

    `late` came back after their warranty; `contradicting` came back before they had left, and count nowhere.
    """

    on: date
    cases: tuple[Case, ...]
    interval: Interval
    curve: tuple[SurvivalStep, ...]
    by_found: Mapping[str, int]
    by_design: tuple[Group, ...]
    by_cause: tuple[Group, ...]
    by_work: tuple[Group, ...]
    late: tuple[Facts, ...]
    contradicting: tuple[Facts, ...]

    @property
    def comebacks(self) -> int:
        """Count the boards that came back under warranty."""
        return sum(case.back is not None for case in self.cases)

    @property
    def still_watched(self) -> int:
        """Count the boards that are still under warranty and away, so that they may yet come back."""
        return sum(case.back is None and case.end >= self.on for case in self.cases)


def study(benches: Iterable[Bench], on: date) -> Study:
    """Sum up the cases of one book or several.

    The share is of all cases, with its Wilson interval; the curve is that of Kaplan and Meier, of days from leaving
    to coming back, each board watched until its warranty ended or the day asked about, whichever was earlier.
    """
    books = [(bench.settings.warranty, known_on(bench.facts, on)) for bench in benches]
    found = (case for habits, known in books for case in cases(known, habits, on))
    picked = tuple(sorted(found, key=lambda case: (case.left, case.facts.id)))
    back = [case.back for case in picked if case.back]
    return Study(
        on,
        picked,
        wilson(len(back), len(picked)),
        kaplan_meier(case.stay for case in picked),
        dict(Counter(one.comeback_found or NOT_YET for one in back).most_common()),
        _groups(picked, lambda one: [one.design]),
        _groups(picked, lambda one: [one.cause_fault or one.cause_part]),
        _groups(picked, lambda one: sorted({done.did for done in one.work} - _EVERY_BOARD)),
        tuple(case.late for case in picked if case.late),
        tuple(one for _, known in books for one in _contradicting(known)),
    )


def cases(known: Mapping[str, Facts], habits: History, on: date) -> tuple[Case, ...]:
    """Pick the finished, repaired boards of one book that left under a warranty; `known` are facts as of `on`."""
    later = comebacks(known)
    repaired = (one for one in known.values() if one.outcome == "repaired" and one.finished)
    found = (_case(one, cover(one.id, known, habits, on), later.get(one.id, ())) for one in repaired)
    return tuple(case for case in found if case)


def _contradicting(known: Mapping[str, Facts]) -> Iterable[Facts]:
    """Find the comebacks that were received before the job they name had left, which no statistic can use."""
    pairs = ((one, known.get(one.comeback_of)) for one in known.values() if one.comeback_of)
    return (one for one, first in pairs if first and one.received and not _came_after(one, left_on(first)))


def _case(one: Facts, covered: Cover, later: Sequence[Facts]) -> Case | None:
    left = left_on(one)
    if left is None or covered.first_day is None or covered.end is None or covered.end < left:
        return None
    after = [each for each in later if _came_after(each, left)]
    first = after[0] if after else None
    in_time = first is not None and date.fromisoformat(first.received) <= covered.end
    watched_to = date.fromisoformat(first.received) if first and in_time else min(covered.on, covered.end)
    return Case(
        one,
        covered,
        left,
        covered.end,
        first if in_time else None,
        None if in_time else first,
        Stay((watched_to - left).days, in_time),
    )


def _came_after(later: Facts, left: date | None) -> bool:
    return bool(left and later.received and later.received >= left.isoformat())


def _groups(picked: Sequence[Case], names: Callable[[Facts], Sequence[str]]) -> tuple[Group, ...]:
    """Count jobs and comebacks by what the jobs have in common; the groups with most comebacks first."""
    jobs: Counter[str] = Counter()
    back: Counter[str] = Counter()
    for case in picked:
        for name in filter(None, names(case.facts)):
            jobs[name] += 1
            back[name] += case.back is not None
    groups = [Group(name, count, back[name], wilson(back[name], count)) for name, count in jobs.items()]
    return tuple(sorted(groups, key=lambda group: (-group.comebacks, -group.jobs, group.name)))
