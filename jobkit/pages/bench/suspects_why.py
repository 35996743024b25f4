"""The arithmetic behind one suspect, on a page."""

from __future__ import annotations

from collections.abc import Iterator

from jobkit.pages.blocks import Answer, Block, Line, Table, Title
from jobkit.pages.forms.data import Data
from jobkit.pages.words import counted
from jobkit.reckon.suspects.arithmetic import Arithmetic
from jobkit.reckon.suspects.network import EXPECTED, LEAK
from jobkit.reckon.suspects.ranking import Search


def why_page(found: Search, sums: Arithmetic) -> Answer:
    """Show how the probability of a suspect is calculated."""
    return Answer(list(_blocks(found, sums)), _data(found, sums))


def _blocks(found: Search, sums: Arithmetic) -> Iterator[Block]:
    one = sums.suspect
    yield Title(f"{found.job.id}: why {one.candidate.name}, {100 * one.probability:.4g} %", 1)
    yield Line(_weight(sums))
    yield Line(
        f"Prior odds: {EXPECTED} causes a board × {one.weight:.6g} / {sums.weights:.6g} = {sums.odds:.4g}."
    )
    yield Title("What each observation multiplies the odds by, if this cause alone is there")
    rows = [(each.words, each.formula, f"{each.value:.4g}") for each in sums.factors]
    yield Table(("observation", "sum", "factor"), rows, right=("factor",))
    yield Line(
        f"{LEAK:g} is the probability that something fails without any of the causes. "
        f"Odds times all factors: {sums.alone:.4g}, the weight of this cause alone."
    )
    yield Title("Divided by the weight of all sets of at most two causes")
    yield Line(
        "A set of two weighs the product of their odds, times what each observation is worth if both are there. "
        f"None of the causes weighs {sums.none:.4g}, all sets of one {sums.singles:.4g}, all sets of two "
        f"{sums.pairs:.4g}: together {sums.total:.4g}."
    )
    sets = [(" and ".join(each.causes), f"{100 * each.probability:.4g} %") for each in sums.sets]
    sets.append(("with any other second cause", f"{100 * sums.rest:.4g} %"))
    yield Table(("set", "probability"), sets, right=("probability",))
    yield Line(f"The probability of the cause is their sum: {100 * one.probability:.4g} %.")


def _weight(sums: Arithmetic) -> str:
    one = sums.suspect
    past = f"; {counted(one.past, 'finished job')} of the design had it" if one.past else ""
    replaced = f"; a tenth of that, because it was {one.replaced}" if one.replaced else ""
    origin = {"board file": "in the board file", "map": "from the map", "job": "from the job"}[
        one.candidate.origin
    ]
    share = ""
    if sums.mean and one.candidate.origin != "board file":
        times = one.candidate.weight / sums.mean
        share = f" ({times:.4g} × {sums.mean:.6g}, the mean weight of the board file's causes)"
    weight = f"{one.candidate.weight:.6g} {origin}{share}{past}{replaced}"
    return f"Weight: {weight}: {one.weight:.6g} of {sums.weights:.6g}, the sum of the weights of all causes."


def _data(found: Search, sums: Arithmetic) -> Data:
    return {
        "job": found.job.id,
        "cause": sums.suspect.candidate.name,
        "probability": sums.suspect.probability,
        "weight": sums.suspect.weight,
        "weights": sums.weights,
        "odds": sums.odds,
        "factors": [
            {"observation": one.words, "sum": one.formula, "factor": one.value} for one in sums.factors
        ],
        "alone": sums.alone,
        "total": sums.total,
        "sets": [{"causes": list(one.causes), "probability": one.probability} for one in sums.sets],
        "rest": sums.rest,
    }
