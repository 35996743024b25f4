"""Inject faults into the example designs, follow the advice, and print how well it did.

    python -m tests.reckon.suspects.simulation                # 2,000 faults, some minutes
    python -m tests.reckon.suspects.simulation --faults 100

A fault is drawn from the causes of a design by their weights; one board in ten has a second one. The board comes with
its complaint: the first functional check in the order of the board file that fails. Then checks are made one after the
other, each written into a job as the bench would write it, until a suspect is likely or nothing is left to check:

- advice: what `suspects` proposes next;
- file order: the checks of the board file in its order, cold ones first;
- prior order: the order in which `suspects` would propose them before anything is known.

Half of the faults behave as the board file says. The other half are in a world of its own: each probability is off by a
normal error of 0.15, each weight by a factor of exp(N(0, 0.5)), which the search does not know.
"""

from __future__ import annotations

import argparse
import random
from collections.abc import Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path
from statistics import fmean
from typing import NamedTuple

from jobkit.cli.call.rollup import open_at
from jobkit.jobs.bench import Bench
from jobkit.jobs.design import Design, Point, PointLimit
from jobkit.jobs.entries import Inject, Reading, Seen
from jobkit.jobs.job import Board, Job
from jobkit.reckon.suspects.candidates import Candidate
from jobkit.reckon.suspects.network import LEAK
from jobkit.reckon.suspects.possible_checks import PossibleCheck, possible_checks
from jobkit.reckon.suspects.ranking import LIKELY, Search, rank
from jobkit.reckon.suspects.search import search
from jobkit.reckon.suspects.symptoms import WARMS_FIRST, Symptom, symptoms_of_limit
from jobkit.units.limit import Limit
from jobkit.units.quantity import plain
from tests.books import EXAMPLE

START = datetime(2026, 11, 2, 9)
BINS = (0.02, 0.05, 0.1, 0.2, 0.4, 0.6, 0.8, 0.95, 1.0)
MOST_CHECKS = 12
"""So many checks are followed; most searches end sooner."""

ORDERS = ("advice", "file order", "prior order")


class World(NamedTuple):
    """How the boards of a design really behave: its causes with what they affect, and how often each is there."""

    design: Design
    causes: Sequence[Candidate]
    weights: Sequence[float]

    def fails(self, symptom: Symptom, there: Sequence[int], chance: random.Random) -> bool:
        """Draw whether a symptom shows on a board with these causes."""
        passes = 1 - LEAK
        for cause in there:
            passes *= 1 - symptom.probability(self.causes[cause].affects)
        return chance.random() >= passes


class Stay(NamedTuple):
    """How a search went: the rank of the true cause after the complaint and at the end, minutes, whether it settled."""

    order: str
    rank_first: int
    rank_last: int
    minutes: float
    settled: bool


class Outcome(NamedTuple):
    """All searches, and for each suspect that was told a probability whether it was there."""

    stays: list[Stay]
    told: list[tuple[float, bool]]
    unseen: int


class Truth(NamedTuple):
    """The board on the bench: what each symptom shows, drawn once and the same whenever it is looked at."""

    world: World
    there: tuple[int, ...]
    chance: random.Random
    drawn: dict[str, bool]

    def shows(self, symptom: Symptom) -> bool:
        """Tell whether a symptom fails on this board."""
        if symptom.name not in self.drawn:
            self.drawn[symptom.name] = self.world.fails(symptom, self.there, self.chance)
        return self.drawn[symptom.name]


def made(job: Job, check: PossibleCheck, truth: Truth) -> Job:
    """Write into a job what a check shows."""
    at = START + timedelta(minutes=len(job.seen) + len(job.readings) + len(job.injections))
    if any(one.is_end for one in check.symptoms):
        readings = (
            _reading(subject, truth, at) for subject in dict.fromkeys(one.subject for one in check.symptoms)
        )
        return job._replace(readings=(*job.readings, *readings))
    if check.injects:
        warm = next((one.name for one in check.symptoms if truth.shows(one)), "")
        hottest = warm.removesuffix(WARMS_FIRST) or None
        return job._replace(injections=(*job.injections, Inject((), at, hottest=hottest)))
    names = [one.name for one in check.symptoms]
    failed = tuple(one.name for one in check.symptoms if truth.shows(one))
    passed = tuple(name for name in names if name not in failed)
    return job._replace(seen=(*job.seen, Seen((), at, None, check.name, passed, failed)))


def _reading(subject: str, truth: Truth, at: datetime) -> Reading:
    """Take a reading: beyond one end of its limit if that shows, else within it."""
    point, limit = _limits(truth.world.design)[subject]
    ends = [end for end in _ends(truth.world.design, subject) if truth.shows(end)]
    side = truth.chance.choice(ends).name.rsplit(" ", 1)[-1] if ends else ""
    assert limit.limit is not None
    value = plain(_value(limit.limit, side), limit.limit.unit)
    return Reading(
        (), at, None, "work", point.name, limit.kind, value, None, limit.state, None, limit.to, limit.red_on
    )


def _value(limit: Limit, side: str) -> Decimal:
    low, high = (end.value if end else None for end in (limit.low, limit.high))
    if side == "low" and low is not None:
        return low / 4
    if side == "high" and high is not None:
        return high * 4
    if low is None or high is None:
        return (low or Decimal(0)) * 2 if high is None else high / 2
    return (low + high) / 2


def _limits(design: Design) -> dict[str, tuple[Point, PointLimit]]:
    return {
        f"{point.name} to {limit.to} {limit.kind}" if limit.to else f"{point.name} {limit.kind}": (
            point,
            limit,
        )
        for point in design.points
        for limit in point.limits
        if limit.limit and not limit.limit.open
    }


def _ends(design: Design, subject: str) -> Sequence[Symptom]:
    point, limit = _limits(design)[subject]
    return symptoms_of_limit(point, limit)


def run(
    bench: Bench, world: World, chance: random.Random
) -> tuple[list[Stay], list[tuple[float, bool]]] | None:
    """Inject one fault and search for it in each order; None if nothing shows it."""
    there = _drawn(world, chance)
    truth = Truth(world, there, chance, {})
    board = Board(world.design.kind, world.design.name)
    job = Job("jobs/2026/K26-0001.toml", "K26-0001", board=board)
    checks = [one for one in possible_checks(job, bench, set(), set()) if not one.point]
    complaint = next((one for one in checks if one.state == "powered" and _any(one, truth)), None)
    if complaint is None:
        return None
    arrived = made(job, complaint, truth)
    before = rank(arrived, bench)
    stays: list[Stay] = []
    told: list[tuple[float, bool]] = []
    for order in ORDERS:
        found, minutes = _followed(order, arrived, bench, truth)
        first, last = _rank(before, truth), _rank(found, truth)
        stays.append(Stay(order, first, last, minutes, found.likely is not None))
        for state in (before, found) if order == "advice" else ():
            names = {world.causes[place].name for place in truth.there}
            told += [(one.probability, one.candidate.name in names) for one in state.suspects]
    return stays, told


def _any(check: PossibleCheck, truth: Truth) -> bool:
    shown = [truth.shows(one) for one in check.symptoms]
    return any(shown)


def _drawn(world: World, chance: random.Random) -> tuple[int, ...]:
    places = range(len(world.causes))
    first, second = chance.choices(places, world.weights, k=2)
    return (first, second) if second != first and chance.random() < 0.1 else (first,)


def _followed(order: str, job: Job, bench: Bench, truth: Truth) -> tuple[Search, float]:
    """Make checks until a suspect is likely or none is left; return what is then known, and the minutes."""
    planned = None if order == "advice" else _in_order(order, job, bench)
    minutes = 0.0
    for turn in range(MOST_CHECKS if planned is None else len(planned)):
        found = search(job, bench) if planned is None else rank(job, bench)
        check = planned[turn] if planned is not None else found.next[0].check if found.next else None
        if found.likely or check is None:
            break
        job = made(job, check, truth)
        minutes += check.minutes
    return rank(job, bench), minutes


def _in_order(order: str, job: Job, bench: Bench) -> Sequence[PossibleCheck]:
    """Return all checks that would show something, in an order that does not depend on what is found."""
    made_already = {one.check for one in job.seen}
    if order == "prior order":
        prior = search(job._replace(seen=(), readings=()), bench)
        return [one.check for one in (*prior.next, *prior.held_back) if one.check.name not in made_already]
    checks = [
        one
        for one in possible_checks(job, bench, set(), set())
        if not one.point and one.name not in made_already
    ]
    return sorted(checks, key=lambda one: one.state == "powered")


def _rank(found: Search, truth: Truth) -> int:
    """Return the place of the first true cause among the suspects, from 1."""
    names = {truth.world.causes[place].name for place in truth.there}
    return next(place for place, one in enumerate(found.suspects, 1) if one.candidate.name in names)


def worlds(bench: Bench, chance: random.Random, *, off: bool) -> list[World]:
    """Return a world for each design of the example that lists causes: as its board file says, or off by some error."""
    made_worlds = []
    for design in bench.designs.values():
        job = Job("jobs/2026/K26-0001.toml", "K26-0001", board=Board(design.kind, design.name))
        suspects = sorted(rank(job, bench).suspects, key=lambda one: one.place)
        causes = [_erring(one.candidate, chance) if off else one.candidate for one in suspects]
        weights = [one.weight * (chance.lognormvariate(0, 0.5) if off else 1) for one in suspects]
        made_worlds.append(World(design, causes, weights))
    return made_worlds


def _erring(cause: Candidate, chance: random.Random) -> Candidate:
    affects = {name: min(max(p + chance.gauss(0, 0.15), 0.01), 0.99) for name, p in cause.affects.items()}
    return cause._replace(affects=affects)


def simulate(faults: int, seed: int, *, off: bool) -> Outcome:
    """Inject so many faults that show themselves."""
    chance = random.Random(seed)  # noqa: S311 - a simulation
    bench = open_at(Path(EXAMPLE), None).bench
    outcome = Outcome([], [], 0)
    places = worlds(bench, chance, off=off)
    while len(outcome.stays) < faults * len(ORDERS):
        ran = run(bench, chance.choice(places), chance)
        if ran is None:
            outcome = outcome._replace(unseen=outcome.unseen + 1)
        else:
            outcome.stays.extend(ran[0])
            outcome.told.extend(ran[1])
    return outcome


def table(outcome: Outcome) -> str:
    """Write what came out."""
    lines = [
        f"{len(outcome.stays) // len(ORDERS)} faults; {outcome.unseen} more showed themselves in no check",
        "",
    ]
    lines += ["| order | first | in first three | settled | minutes |", "|---|---|---|---|---|"]
    complaint = [one for one in outcome.stays if one.order == "advice"]
    first = [one.rank_first for one in complaint]
    lines.append(f"| complaint alone | {_share(first, 1)} | {_share(first, 3)} | | 0 |")
    for order in ORDERS:
        stays = [one for one in outcome.stays if one.order == order]
        last = [one.rank_last for one in stays]
        settled = 100 * fmean(one.settled for one in stays)
        minutes = fmean(one.minutes for one in stays)
        lines.append(f"| {order} | {_share(last, 1)} | {_share(last, 3)} | {settled:.0f} % | {minutes:.0f} |")
    lines += ["", "| told | suspects | mean told | there |", "|---|---|---|---|"]
    low = 0.0
    for high in BINS:
        inside = [(p, there) for p, there in outcome.told if low <= p < high or p == high == 1.0]
        if inside:
            told, there = (100 * fmean(one[part] for one in inside) for part in (0, 1))
            lines.append(
                f"| {100 * low:.0f} to {100 * high:.0f} % | {len(inside)} | {told:.1f} % | {there:.1f} % |"
            )
        low = high
    return "\n".join(lines)


def _share(ranks: Sequence[int], best: int) -> str:
    return f"{100 * fmean(one <= best for one in ranks):.0f} %"


def main() -> None:
    """Read the options and print both halves."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--faults", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=20)
    options = parser.parse_args()
    for words, off in (("As the board files say", False), ("In worlds that are off", True)):
        print(
            f"{words} (likely from {LIKELY:.0%} on): {table(simulate(options.faults // 2, options.seed, off=off))}\n"
        )


if __name__ == "__main__":
    main()
