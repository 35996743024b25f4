"""A plan for some hours at the bench: what runs unattended is started first, the rest follows the order of the queue.

The plan is as good as its minutes: those of the proof policy and the board file, or what the bench usually needs, or an
assumption, which is marked. One loaded run at a time, as there is one test computer, and one bake, as there is one
oven. A package that bakes on a tray does not hold up the work on its board until it is fitted.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from decimal import Decimal

from jobkit.jobs.facts import Facts
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.progress.step import NextStep
from jobkit.reckon.statistics.quantile import median

_Fits = Callable[[NextStep], bool]

ASSUMED = Decimal(15)
"""Minutes of a step of which nothing is known. Our own, no source."""

_FEWEST = 3
"""So many pieces of work of a kind are needed before their median counts."""


class Ahead(NamedTuple):
    """The steps of a job that can be seen from here, in their order; nothing before `cold_in` minutes have passed."""

    facts: Facts
    steps: Sequence[NextStep]
    cold_in: Decimal = Decimal(0)


class Planned(NamedTuple):
    """A step with its place in the plan, in minutes from its beginning.

    `is_assumed` where its minutes are; `follows` where it had to wait for the step before it, or for the board to cool.
    """

    facts: Facts
    step: NextStep
    start: Decimal
    end: Decimal
    is_assumed: bool = False
    follows: bool = False


class Plan(NamedTuple):
    """The planned steps, in the order of their beginnings, and the jobs that could go on but do not fit."""

    minutes: Decimal
    planned: tuple[Planned, ...]
    left: tuple[Facts, ...]


def usual_minutes(known: Iterable[Facts]) -> dict[str, Decimal]:
    """Give the median minutes of each kind of work that the bench has done often enough."""
    found: dict[str, list[Decimal]] = defaultdict(list)
    for one in known:
        for work in one.work:
            if work.minutes > 0:
                found[work.did].append(Decimal(str(work.minutes)))
    return {did: median(minutes) for did, minutes in found.items() if len(minutes) >= _FEWEST}


def plan_of(ahead: Sequence[Ahead], minutes: Decimal, usual: Mapping[str, Decimal]) -> Plan:
    """Plan so many minutes; `ahead` is in the order of the queue."""
    planned = tuple(_planned(ahead, minutes, usual))
    begun = {one.facts.path for one in planned}
    return Plan(
        minutes, planned, tuple(one.facts for one in ahead if one.steps and one.facts.path not in begun)
    )


def _planned(ahead: Sequence[Ahead], minutes: Decimal, usual: Mapping[str, Decimal]) -> Iterator[Planned]:
    bench = _Bench(ahead)
    while bench.now < minutes:
        found = bench.to_start() or bench.to_do(minutes, usual)
        if found is None:
            later = bench.next_moment()
            if later is None or later >= minutes:
                return
            bench.now = later
            continue
        yield bench.take(found, usual)


class _Bench:
    """The state of the bench while a plan is made: the time, what each job has left, and when it can go on."""

    def __init__(self, ahead: Sequence[Ahead]) -> None:
        self.now = Decimal(0)
        self._order = [one.facts for one in ahead]
        self._left = {one.facts.path: list(one.steps) for one in ahead}
        self._ready = {one.facts.path: one.cold_in for one in ahead}
        self._dry = dict.fromkeys(self._left, Decimal(0))
        self._free = {"run": Decimal(0), "bake": Decimal(0)}

    def to_start(self) -> Facts | None:
        """Find the first job whose next step runs unattended and can be started now."""
        return self._first(lambda step: step.alone and self._free[_runs_in(step)] <= self.now)

    def to_do(self, minutes: Decimal, usual: Mapping[str, Decimal]) -> Facts | None:
        """Find the first job with a step that fits into the time that is left."""
        left = minutes - self.now
        return self._first(lambda step: not step.alone and minutes_of(step, usual)[0] <= left)

    def next_moment(self) -> Decimal | None:
        """Tell when something that is under way is over, or a board is cold."""
        moments = [self._ready_for(path, steps[0]) for path, steps in self._left.items() if steps]
        return min((one for one in (*moments, *self._free.values()) if one > self.now), default=None)

    def take(self, facts: Facts, usual: Mapping[str, Decimal]) -> Planned:
        """Put the next step of a job into the plan."""
        step = self._left[facts.path].pop(0)
        takes, is_assumed = minutes_of(step, usual)
        follows = self._ready_for(facts.path, step) > 0
        planned = Planned(facts, step, self.now, self.now + takes, is_assumed, follows)
        if step.on_a_tray:
            self._dry[facts.path] = planned.end
        else:
            self._ready[facts.path] = planned.end
        if step.alone:
            self._free[_runs_in(step)] = planned.end
        else:
            self.now = planned.end
        return planned

    def _first(self, fits: _Fits) -> Facts | None:
        for facts in self._order:
            steps = self._left[facts.path]
            if steps and self._ready_for(facts.path, steps[0]) <= self.now and fits(steps[0]):
                return facts
        return None

    def _ready_for(self, path: str, step: NextStep) -> Decimal:
        """Tell from when on a job can go on with a step: a fitting also waits for its bake."""
        return max(self._ready[path], self._dry[path] if step.did == "fit" else Decimal(0))


def _runs_in(step: NextStep) -> str:
    """Name what an unattended step occupies: the oven, or the test computer."""
    return "bake" if step.did == "bake" else "run"


def minutes_of(step: NextStep, usual: Mapping[str, Decimal]) -> tuple[Decimal, bool]:
    """Give the minutes of a step, and whether they are assumed because nothing is known of them.

    >>> minutes_of(NextStep("test it: final clean"), {"clean": Decimal(12)})
    (Decimal('12'), False)
    """
    if step.minutes is not None:
        return step.minutes, False
    known = usual.get(step.did) or next((minutes for did, minutes in usual.items() if did in step.step), None)
    return (ASSUMED, True) if known is None else (known, False)
