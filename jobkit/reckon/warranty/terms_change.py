"""What a change of the bench's terms does to jobs that are over: bills, warranties and costs that would not stay."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date

from jobkit.jobs.bench import Bench
from jobkit.jobs.facts import Facts
from jobkit.jobs.settings import WarrantyHabit
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.money.bill import bill
from jobkit.reckon.money.cost import cost_of
from jobkit.reckon.money.priced import NOTHING, basis
from jobkit.reckon.warranty.cover import cover
from jobkit.units.errors import MisuseError


class AlteredJobs(NamedTuple):
    """The ids of the jobs whose bill, whose warranty and whose cost of parts a change of terms alters, in order."""

    bills: tuple[str, ...]
    warranties: tuple[str, ...]
    costs: tuple[str, ...]


def are_unlike(before: Bench, after: Bench) -> bool:
    """Tell whether terms have changed at all: most changes of these files do something else, such as a count."""
    return _terms(before) != _terms(after)


def _terms(bench: Bench) -> object:
    return _bill_terms(bench), bench.settings.warranty, _costs_of_items(bench)


def _bill_terms(bench: Bench) -> object:
    return bench.settings.tax, bench.settings.supply


def _costs_of_items(bench: Bench) -> object:
    return {
        name: (
            item.cost,
            tuple((lot.name, lot.cost) for lot in item.lots),
            tuple((one.day, one.cost) for one in item.received if one.cost),
        )
        for name, item in bench.stock.items()
    }


def altered_jobs(facts: Sequence[Facts], before: Bench, after: Bench, on: date) -> AlteredJobs:
    """Compare what the jobs that have been sent, collected or given up were billed, promised and spent.

    A cost that was not known before is not a change: it was only missing.
    """
    gone = [one for one in facts if one.gone]
    return AlteredJobs(
        _bills(gone, before, after), _warranties(facts, gone, before, after, on), _costs(gone, before, after)
    )


def _bills(gone: Sequence[Facts], before: Bench, after: Bench) -> tuple[str, ...]:
    """Compare the bills of the jobs that have a price; a view by the minute binds neither side."""
    if _bill_terms(before) == _bill_terms(after):
        return ()
    priced = [one for one in gone if basis(one) != NOTHING]
    return _unlike(priced, lambda one: _billed(one, before), lambda one: _billed(one, after))


def _billed(one: Facts, bench: Bench) -> object:
    """Return what a bill says; one that cannot be made out says nothing."""
    try:
        made = bill(one, bench)
    except MisuseError:
        return None
    return made.totals, made.tax.name, made.tax.note, made.owed


def _warranties(
    facts: Sequence[Facts], gone: Sequence[Facts], before: Bench, after: Bench, on: date
) -> tuple[str, ...]:
    if before.settings.warranty == after.settings.warranty:
        return ()
    known = {one.id: one for one in facts}
    return _unlike(
        gone, lambda one: _promised(one, known, before, on), lambda one: _promised(one, known, after, on)
    )


def _promised(one: Facts, known: Mapping[str, Facts], bench: Bench, on: date) -> object:
    """Return what binds in a warranty, of the bench's own terms what ends it and what a comeback does to it."""
    found = cover(one.id, known, bench.settings.warranty, on)
    if found.duration is None:
        return None
    terms = WarrantyHabit(comeback=found.terms.comeback, void_if=found.terms.void_if)
    return found._replace(terms=terms)


def _costs(gone: Sequence[Facts], before: Bench, after: Bench) -> tuple[str, ...]:
    if _costs_of_items(before) == _costs_of_items(after):
        return ()
    was = {one.id: tuple(cost_of(took, one, before) for took in one.used) for one in gone}
    return tuple(
        one.id
        for one in gone
        if any(
            old is not None and old != cost_of(took, one, after)
            for old, took in zip(was[one.id], one.used, strict=True)
        )
    )


def _unlike(
    facts: Sequence[Facts], was: Callable[[Facts], object], now: Callable[[Facts], object]
) -> tuple[str, ...]:
    return tuple(one.id for one in facts if was(one) != now(one))
