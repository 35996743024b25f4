"""Which check tells most in a minute: the mutual information of its result and of the causes, over its minutes.

I(causes; result) = H(result) − Σ P(set) H(result | set), in bits (Cover and Thomas, Elements of Information Theory,
2.4, from memory). A check that shows many things at once has too many results to go through. Only the first and the
last thing that fail are looked at, in the order of the check: what this tells is a lower bound of what all tell (data
processing inequality, the same book, 2.8, from memory), and exact for one or two.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import accumulate
from math import fsum, log2

from jobkit.named_tuple import NamedTuple
from jobkit.reckon.suspects.network import LEAK, CauseSet, Posterior
from jobkit.reckon.suspects.possible_checks import PossibleCheck

MOST_SETS, _FEWEST_SETS = 2000, 50
_WORK = 300_000
"""So many sets, the most probable ones, are looked at; fewer where the checks have many results, but never too few."""

COVERED = 0.999
"""No more sets are looked at than hold this share of the probability together."""

_MOST_SHOWN = 24
"""Of a check that shows more than this the first so many are looked at: a lower bound again."""

WORTH_BITS = 0.005
"""A check that tells less is not worth making (our own, no source)."""

_SHORTEST = 0.5
"""A check takes half a minute at least."""


class Gain(NamedTuple):
    """What a check is expected to tell, in bits, and what that is in a minute."""

    check: PossibleCheck
    bits: float

    @property
    def per_minute(self) -> float:
        """The bits of a minute."""
        return self.bits / max(self.check.minutes, _SHORTEST)


class Result(NamedTuple):
    """A result of a check in words, its probability, and the causes by place with their probability after it."""

    words: str
    probability: float
    after: Mapping[int, float]


def sets_worth_looking_at(found: Posterior, checks: Sequence[PossibleCheck]) -> list[CauseSet]:
    """Return the most probable sets of causes: as many as matter, and as there is time to look at for these checks."""
    results = sum(_results(len(check.symptoms)) for check in checks)
    most = found.largest(max(_FEWEST_SETS, min(MOST_SETS, _WORK // max(results, 1))))
    covered = accumulate(one.probability for one in most)
    count = next((count for count, share in enumerate(covered, 1) if share >= COVERED), len(most))
    return most[: max(count, _FEWEST_SETS)]


def _results(shown: int) -> int:
    shown = min(shown, _MOST_SHOWN)
    return shown * (shown + 1) // 2 + 1


def gain_of(check: PossibleCheck, sets: Sequence[CauseSet], survives: Sequence[Sequence[float]]) -> Gain:
    """Return what a check tells; `survives` has for each symptom of it 1 − p of each cause by place."""
    shown = survives[:_MOST_SHOWN]
    if len(shown) == 1:
        return Gain(check, _bits_of_one(sets, shown[0]))
    total = fsum(one.probability for one in sets)
    of_results = _of_reading if check.shows_one else _of_results
    expected = [0.0] * (len(shown) + 1 if check.shows_one else _results(len(shown)))
    known = 0.0
    for one in sets:
        results = of_results([_passes(one, row) for row in shown])
        share = one.probability / total
        known += share * entropy(results)
        expected = [sum_ + share * result for sum_, result in zip(expected, results, strict=True)]
    return Gain(check, max(entropy(expected) - known, 0.0))


def _bits_of_one(sets: Sequence[CauseSet], row: Sequence[float]) -> float:
    """Return what a check tells that fails or passes: the same sum, quicker."""
    total = fsum(one.probability for one in sets)
    expected = known = 0.0
    for one in sets:
        passes, weight = _passes(one, row), one.probability
        expected += weight * passes
        known -= weight * (passes * log2(passes or 1) + (1 - passes) * log2(1 - passes))
    expected /= total
    return max(entropy([expected, 1 - expected]) - known / total, 0.0)


def entropy(probabilities: Sequence[float]) -> float:
    """Return the entropy of a result in bits.

    >>> entropy([0.5, 0.5]), round(entropy([0.11, 0.89]), 5)
    (1.0, 0.49992)
    """
    return -fsum(p * log2(p) for p in probabilities if p > 0)


def _passes(one: CauseSet, row: Sequence[float]) -> float:
    passes = 1 - LEAK
    for cause in one.causes:
        passes *= row[cause]
    return passes


def _of_reading(passes: Sequence[float]) -> list[float]:
    """Return the probability of each end of a limit, then that of a reading within it: one value shows one of them."""
    ends = [1 - one for one in passes]
    results = [*ends, max(1 - fsum(ends), 0.0)]
    whole = fsum(results)
    return [one / whole for one in results]


def _of_results(passes: Sequence[float]) -> list[float]:
    """Return the probability of each first and last failure, then that of none, where symptoms pass with these."""
    after = [1.0]
    for one in reversed(passes):
        after.append(after[-1] * one)
    after.reverse()
    results, before = [], 1.0
    for first, one in enumerate(passes):
        fails = before * (1 - one)
        results.append(fails * after[first + 1])
        results += [fails * (1 - passes[last]) * after[last + 1] for last in range(first + 1, len(passes))]
        before *= one
    return [*results, before]


def results_of(
    check: PossibleCheck, sets: Sequence[CauseSet], survives: Sequence[Sequence[float]]
) -> Iterator[Result]:
    """Yield what each result of a check would mean: all is well, or one thing alone fails or reads outside."""
    passes = [[_passes(one, row) for row in survives] for one in sets]
    if check.shows_one:
        shown = [_of_reading(one) for one in passes]
        for place, words in enumerate(_words_of_one(check)):
            yield _result(words, sets, [one[place] for one in shown])
        return
    alone = len(check.symptoms) == 1
    yield _result("passes" if alone else "all pass", sets, [_product(one) for one in passes])
    for place, symptom in enumerate(check.symptoms):
        words = "fails" if alone else symptom.name if symptom.is_end else f"{symptom.name} fails"
        yield _result(words, sets, [1 - one[place] for one in passes])


def _words_of_one(check: PossibleCheck) -> tuple[str, ...]:
    """Name the results of a check that shows one of several, the good one last."""
    if check.injects:
        return (*(symptom.name for symptom in check.symptoms), "another part warms first, or none")
    ends = (symptom.name.removeprefix(symptom.subject).strip() for symptom in check.symptoms)
    return (*ends, "within its limit")


def _product(factors: Sequence[float]) -> float:
    product = 1.0
    for factor in factors:
        product *= factor
    return product


def _result(words: str, sets: Sequence[CauseSet], likelihood: Sequence[float]) -> Result:
    weights = [one.probability * factor for one, factor in zip(sets, likelihood, strict=True)]
    total = fsum(weights)
    after: dict[int, float] = {}
    for one, weight in zip(sets, weights, strict=True):
        for cause in one.causes:
            after[cause] = after.get(cause, 0.0) + (weight / total if total else 0.0)
    every = fsum(one.probability for one in sets)
    return Result(words, total / every if every else 0.0, after)
