"""The arithmetic behind the probability of one cause, step by step, to be followed with a pocket calculator."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import fsum

from jobkit.named_tuple import NamedTuple
from jobkit.reckon.suspects.network import EXPECTED, LEAK, Posterior, fails
from jobkit.reckon.suspects.observations import Observed
from jobkit.reckon.suspects.ranking import Search, Suspect
from jobkit.units.errors import MisuseError

_SETS_SHOWN = 5


class Factor(NamedTuple):
    """What an observation multiplies the weight of a cause by: in words, the sum behind it, and its value."""

    words: str
    formula: str
    value: float


class SetShare(NamedTuple):
    """A set of causes that holds the one asked about, and its probability."""

    causes: tuple[str, ...]
    probability: float


class Arithmetic(NamedTuple):
    """How the probability of a cause comes about.

    `weights` is the sum of all weights, `mean` what a cause of the board file weighs on average, 0 if it lists none;
    `alone` the weight of the set that holds the cause alone: its odds times all factors; `total` the weight of all
    sets: that of none of the causes, of all `singles` and of all `pairs`. `sets` are the most probable ones with the
    cause, `rest` all others.
    """

    suspect: Suspect
    weights: float
    odds: float
    factors: tuple[Factor, ...]
    alone: float
    total: float
    sets: tuple[SetShare, ...]
    rest: float
    mean: float = 0.0
    none: float = 0.0
    singles: float = 0.0
    pairs: float = 0.0


def suspect_named(found: Search, name: str) -> Suspect:
    """Find a suspect by its name, else the most probable one in a part of the board, else by some words of its name.

    Raises MisuseError.
    """
    if not found.documented:
        raise MisuseError(
            "general causes of a kind of board have an order, and no figures to show",
            "write a board file with causes or a memory map",
        )
    word = name.casefold()
    exact = [one for one in found.suspects if one.candidate.name.casefold() == word]
    in_part = [one for one in found.suspects if word == (one.candidate.part or "").casefold()][:1]
    meant = exact or in_part or [one for one in found.suspects if word in one.candidate.name.casefold()]
    if len(meant) == 1:
        return meant[0]
    names = "; ".join(one.candidate.name for one in (meant or found.suspects)[:6])
    problem = f'"{name}" could be several causes' if meant else f'there is no cause "{name}"'
    raise MisuseError(problem, f"name one of: {names}")


def arithmetic_of(found: Search, suspect: Suspect) -> Arithmetic:
    """Work out the steps that give a suspect its probability."""
    weights = fsum(one.weight for one in found.suspects)
    odds = EXPECTED * suspect.weight / weights
    factors = tuple(_factors(found.findings, suspect))
    alone = odds
    for factor in factors:
        alone *= factor.value
    sets = [one for one in found.posterior.largest(200) if suspect.place in one.causes][:_SETS_SHOWN]
    shown = tuple(
        SetShare(tuple(found.suspect_at(place).candidate.name for place in one.causes), one.probability)
        for one in sets
    )
    share = found.posterior.single[suspect.place] / found.posterior.total
    rest = suspect.probability - fsum(one.probability for one in shown)
    total = alone / share if share else 0.0
    none, singles = (part / found.posterior.total * total for part in _parts(found.posterior))
    listed = [one.candidate.weight for one in found.suspects if one.candidate.origin == "board file"]
    return Arithmetic(
        suspect,
        weights,
        odds,
        factors,
        alone,
        total,
        shown,
        max(rest, 0.0),
        fsum(listed) / len(listed) if listed else 0.0,
        none,
        singles,
        max(total - none - singles, 0.0),
    )


def _parts(found: Posterior) -> tuple[float, float]:
    return found.none, fsum(found.single)


def _factors(findings: Iterable[Observed], suspect: Suspect) -> Iterator[Factor]:
    """Yield a factor for each observation that the cause affects, then those of all others by number."""
    others = {True: 0, False: 0}
    for one in findings:
        off = suspect.candidate.part in one.symptom.off
        p = 0.0 if off else one.symptom.probability(suspect.candidate.affects)
        if p:
            yield _factor(one.words, p, failed=one.failed)
        else:
            others[one.failed] += 1
    if others[False]:
        value = (1 - LEAK) ** others[False]
        yield Factor(_counted(others[False], "good result"), f"{1 - LEAK:g}^{others[False]}", value)
    if others[True]:
        value = LEAK ** others[True]
        yield Factor(_counted(others[True], "failure"), f"{LEAK:g}^{others[True]}", value)


def _counted(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'} that it does not affect"


def _factor(words: str, p: float, *, failed: bool) -> Factor:
    passes = f"{1 - LEAK:g} × (1 − {p:.4g})"
    return Factor(words, f"1 − {passes}" if failed else passes, fails([p]) if failed else 1 - fails([p]))
