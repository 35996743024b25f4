"""What the paper for a client holds: the facts of one job, set side by side, before they are put into words."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta

from jobkit.jobs.bench import Bench
from jobkit.jobs.client import Client
from jobkit.jobs.digest import facts_of
from jobkit.jobs.entries import Reading, Used
from jobkit.jobs.job import Job
from jobkit.jobs.manner import Manner, last_proofs, manner
from jobkit.jobs.money import Money, negated, total
from jobkit.jobs.settings import Tax
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.client.cautions import cautions
from jobkit.reckon.heat.work_log import HeatEvidence, heat_logs_in
from jobkit.reckon.load_run.trial import Evidence, evidence_in
from jobkit.reckon.money.bill import bill
from jobkit.reckon.money.priced import agreement
from jobkit.reckon.progress.release import release_steps
from jobkit.reckon.progress.status import Status, status
from jobkit.reckon.progress.step import ReleaseStep
from jobkit.reckon.readings.limits import Judged, judge_reading
from jobkit.reckon.readings.usual import Usual
from jobkit.reckon.warranty.cover import Cover
from jobkit.units.errors import MisuseError


class Compared(NamedTuple):
    """One point and manner of reading: as it came, and as it was proved; `where` is the place on the board.

    `usual` is what other good boards read there, None where that is not known.
    """

    before: Judged | None
    after: Judged | None
    where: str
    usual: Usual | None = None

    @property
    def reading(self) -> Reading:
        """Give the reading that names point and manner."""
        judged = self.after or self.before
        assert judged is not None
        return judged.reading


class Part(NamedTuple):
    """A part used, and what it is in words."""

    used: Used
    what: str


class Sum(NamedTuple):
    """What a job costs with tax as its bill says it, the balance due, None where all is paid, and how it is taxed.

    `to_pay` is the total rounded to coins, `credited` what credit notes take off, `back` what is to give back.
    """

    total: Money
    to_pay: Money
    credited: Money
    open: Money | None
    tax: Tax
    back: Money | None = None


class Paper(NamedTuple):
    """All that the paper of a job says; `client` is None where no name may or can be given."""

    job: Job
    bench: Bench
    on: date
    status: Status
    compared: tuple[Compared, ...]
    steps: tuple[ReleaseStep, ...]
    parts: tuple[Part, ...]
    cover: Cover
    sum: Sum | None
    cautions: tuple[str, ...]
    client: Client | None
    evidence: tuple[Evidence, ...] = ()
    agreed: Money | None = None
    heatings: tuple[HeatEvidence, ...] = ()


UsualOf = Callable[[Manner], Usual | None]
"""Says what other good boards of the design read in a manner."""


def paper(
    job: Job,
    bench: Bench,
    cover: Cover,
    client: Client | None,
    on: date,
    usual: UsualOf = lambda _manner: None,
) -> Paper:
    """Gather the paper of a job that was cut to what was known at the end of `on`.

    A job that the client declined ends so, whether it is finished or not.
    """
    if job.dates.declined and job.outcome is None:
        job = job._replace(outcome="declined")
    return Paper(
        job,
        bench,
        on,
        status(facts_of(job)),
        compare(job.readings, bench, job.board.design, usual),
        release_steps(job, bench),
        tuple(Part(used, _what(used, bench)) for used in job.used),
        cover,
        _sum(job, bench, on),
        cautions(job),
        client,
        evidence_in(job, bench),
        _agreed(job),
        heat_logs_in(job, bench),
    )


def word_day(paper: Paper) -> date | None:
    """Return the day by which the client hears, None where the bench names none or has written a quote already."""
    days, received = paper.bench.settings.papers.word, paper.job.dates.received
    if days is None or received is None or paper.job.dates.quoted:
        return None
    return received + timedelta(days)


def _agreed(job: Job) -> Money | None:
    """Return what the client agreed to last."""
    found = agreement(facts_of(job))
    return found[1] if found else None


def compare(
    readings: Sequence[Reading], bench: Bench, design: str | None, usual: UsualOf = lambda _manner: None
) -> tuple[Compared, ...]:
    """Pair the first reading on arrival with the last proof reading of the same point and manner.

    In the order in which they were first taken; a point that was read only once is alone.
    """
    known = bench.designs.get(design or "")
    before = _first_of_each(one for one in readings if one.stage == "arrival" and one.value)
    after = {manner(one): one for one in last_proofs(tuple(readings)) if one.value}
    rows = []
    for how in dict.fromkeys((*before, *after)):
        pair = [
            judge_reading(one, bench, known) if one else None for one in (before.get(how), after.get(how))
        ]
        point = known.point(how.point) if known else None
        rows.append(Compared(pair[0], pair[1], point.where or "" if point else "", usual(how)))
    return tuple(rows)


def _first_of_each(readings: Iterable[Reading]) -> dict[Manner, Reading]:
    first: dict[Manner, Reading] = {}
    for one in readings:
        first.setdefault(manner(one), one)
    return first


def _what(used: Used, bench: Bench) -> str:
    item = bench.stock.get(used.item or "")
    return item.what if item and item.what else used.item or "a part"


def _sum(job: Job, bench: Bench, on: date) -> Sum | None:
    """Add up the bill; None where nothing is priced yet, or where it cannot be made out (`bill` says why)."""
    try:
        made = bill(facts_of(job), bench, on=on.isoformat())
    except MisuseError:
        return None
    if made.owed is None:
        return None
    credited = total((negated(note.to_pay) for note in made.notes), made.currency)
    back = negated(made.owed) if made.owed.amount < 0 else None
    left = made.owed if made.owed.amount > 0 else None
    return Sum(made.totals.gross, made.to_pay, credited, left, made.tax, back)
