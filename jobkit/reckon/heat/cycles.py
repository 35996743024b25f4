"""How often a package and its place on the board were heated above liquidus, over all stays of the board.

A package and its place are counted separately: a new package begins at nothing on a place that has been heated before,
and a package from a donor brings what it has seen. What a log shows counts as the log shows it; a part that was
soldered without a thermocouple on it was heated once. A package that was heated along counts where its thermocouple
shows that it melted; without one that is not known, and is counted apart.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from decimal import Decimal

from jobkit.jobs.bench import Bench
from jobkit.jobs.entries import Used, Work
from jobkit.jobs.finding import Place
from jobkit.jobs.job import Job
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.heat.figures import heatings_above
from jobkit.reckon.heat.fittings import used_by_fitting
from jobkit.reckon.heat.part_places import in_order
from jobkit.reckon.heat.probe import BODY, JOINT
from jobkit.reckon.heat.solder import LEAD_FREE_MELTS, TIN_LEAD_MELTS, has_lead
from jobkit.reckon.heat.warm import is_soldered
from jobkit.reckon.heat.work_log import HeatEvidence, heat_logs_in

_BEGINS = {"new": 0, "donor": 1}
"""The bench heatings that a package brings, by how it came: from a donor it came off its board once at least."""


class Heated(NamedTuple):
    """One piece of work that heated a part: how often, of which job, and whether a log or the entry says so."""

    job: str
    work: Work
    times: int
    by_log: bool

    @property
    def at(self) -> datetime | None:
        """When it was."""
        return self.work.at


class Cycles(NamedTuple):
    """How often the package that is in a place was heated at a bench, how often the place was, and by what.

    `maybe` are the times that the package was heated along without a thermocouple. `factory` is what the factory
    is assumed to have used, None where the board file does not say. `donor` is the job from which the package came,
    "" for none; what it saw there is in `package`.
    """

    part: str
    package: int = 0
    place: int = 0
    factory: Decimal | None = None
    donor: str = ""
    heatings: tuple[Heated, ...] = ()
    maybe: tuple[Heated, ...] = ()

    @property
    def perhaps(self) -> int:
        """How often it may have been heated besides."""
        return len(self.maybe)


def most_by_entries(work: Iterable[Work]) -> int:
    """Tell how often a package can have been heated at the most, by work without a log and with what a donor brings."""
    return max(_BEGINS.values()) + sum(1 for one in work if one.near or _own_part(one))


def heat_cycles(stays: Iterable[Job], bench: Bench) -> dict[str, Cycles]:
    """Count the heatings of every part of a board over its stays, which are in order of time."""
    cycles: dict[str, Cycles] = {}
    for job in stays:
        came_with = used_by_fitting(job.work, job.used)
        logs = {one.work.path: one for one in heat_logs_in(job, bench)}
        for work in in_order(job.work):
            own = _own_part(work)
            if own and work.did in {"fit", "swap"}:
                cycles[own] = _exchanged(cycles.get(own) or _first(own, job, bench), work, came_with)
            for part, heated, along in _heated(work, job, logs.get(work.path)):
                before = cycles.get(part) or _first(part, job, bench)
                cycles[part] = _added(before, heated, along=along)
    return cycles


def _own_part(work: Work) -> str:
    """Name the part that was soldered or balled; "" for other work."""
    return (work.part or "") if is_soldered(work) or work.did == "reball" else ""


def _first(part: str, job: Job, bench: Bench) -> Cycles:
    """Begin the count of a part with what the factory is assumed to have used."""
    design = bench.designs.get(job.board.design or "")
    packages = design.packages if design else ()
    return Cycles(part, factory=next((one.cycles_before for one in packages if one.part == part), None))


def _exchanged(cycles: Cycles, work: Work, came_with: Mapping[Place, Sequence[Used]]) -> Cycles:
    """Begin the count of the package again where another one is fitted; its place goes on."""
    if work.came == "new":
        return cycles._replace(package=_BEGINS["new"], factory=Decimal(0), donor="", heatings=(), maybe=())
    if work.came == "donor":
        donor = next((one.source or "" for one in came_with.get(work.path, ()) if one.from_donor), "")
        return cycles._replace(package=_BEGINS["donor"], donor=donor, heatings=(), maybe=())
    return cycles


def _added(cycles: Cycles, heated: Heated, *, along: bool) -> Cycles:
    """Add a piece of work; one that heated the part along without a log is only a maybe."""
    if along and not heated.by_log:
        return cycles._replace(maybe=(*cycles.maybe, heated))
    if not heated.times:
        return cycles
    at_place = 0 if heated.work.did == "reball" and not along else heated.times
    return cycles._replace(
        package=cycles.package + heated.times,
        place=cycles.place + at_place,
        heatings=(*cycles.heatings, heated),
    )


def _heated(work: Work, job: Job, log: HeatEvidence | None) -> Iterator[tuple[str, Heated, bool]]:
    """Yield each part that a piece of work heated, how often, and whether along with another."""
    shown = _shown(log, work)
    own = _own_part(work)
    # What is heated along gets less hot than the part itself.
    near = () if own and shown.get(own) == 0 else work.near
    parts = dict.fromkeys(part for part in (own, *near, *shown) if part)
    for part in parts:
        yield part, Heated(job.id, work, shown.get(part, 1), part in shown), part != own


def _shown(evidence: HeatEvidence | None, work: Work) -> dict[str, int]:
    """Tell how often a log shows each part above the temperature at which solder begins to melt."""
    found: dict[str, int] = {}
    level = float(TIN_LEAD_MELTS if work.alloy and has_lead(work.alloy) else LEAD_FREE_MELTS)
    for one in evidence.columns if evidence else ():
        if one.readings and not one.measured.fault and one.probe.part and one.probe.where in {JOINT, BODY}:
            times = heatings_above(one.readings, level)
            found[one.probe.part] = max(times, found.get(one.probe.part, 0))
    return found


def cycles_words(one: Cycles) -> str:
    """Say how often a package was heated, and what of that is assumed or not known.

    >>> cycles_words(Cycles("U3", 2, 4, Decimal(2), maybe=(Heated("", Work(()), 1, False),)))
    '2 bench heatings above liquidus, perhaps 1 more without a thermocouple; 2 more at the factory (assumed)'
    """
    heatings = "heating" if one.package == 1 else "heatings"
    words = f"{one.package} bench {heatings} above liquidus"
    if one.donor:
        words += f", those at its donor {one.donor} counted as one"
    if one.perhaps:
        words += f", perhaps {one.perhaps} more without a thermocouple"
    if one.factory:
        words += f"; {one.factory} more at the factory (assumed)"
    return words
