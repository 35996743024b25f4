"""A noisy-OR network with leak: which sets of at most two causes explain what was observed, and how well.

Each cause is there or not, independently of the others, with prior odds o. If the causes S are there, a symptom fails
with the probability 1 − (1 − leak) Π (1 − p) over S. The probability of a set is proportional to the product of the
odds of its causes and of the probabilities of all that was observed. Source: Pearl, Probabilistic Reasoning in
Intelligent Systems (1988), 4.3.2 (from memory); the leak: Henrion, Some practical issues in constructing belief
networks (1987, from memory). Sets of three and more are left out: at the odds used here they are rare, and no bench
treats three faults at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from heapq import nlargest
from itertools import chain
from math import fsum

from jobkit.named_tuple import NamedTuple

LEAK = 0.001
"""With which probability something fails without any of the causes: a slip, or a cause that is not known (our own)."""

EXPECTED = 0.2
"""How many causes a board has on average by the priors: that makes one faulty board in ten have two (our own)."""


_TINY = 1e-100


class Finding(NamedTuple):
    """A symptom that was observed: with which probability each cause makes it fail, and whether it failed."""

    probabilities: Sequence[float]
    failed: bool


class CauseSet(NamedTuple):
    """A set of at most two causes, by their places, and its probability."""

    causes: tuple[int, ...]
    probability: float


class Posterior(NamedTuple):
    """What is known after all findings.

    `weights` are products of odds and likelihood: none, each cause alone by place, and each pair by the place of its
    first cause, the second ones behind it in order.
    """

    none: float
    single: Sequence[float]
    pairs: Sequence[Sequence[float]]

    @property
    def total(self) -> float:
        """The sum of all weights, by which each is divided to make a probability."""
        return fsum([self.none, *self.single, *chain.from_iterable(self.pairs)])

    def marginals(self) -> list[float]:
        """Return the probability of each cause: of all sets that it is in."""
        total, sums = self.total, list(self.single)
        for first, row in enumerate(self.pairs):
            sums[first] += fsum(row)
            for second, weight in enumerate(row, first + 1):
                sums[second] += weight
        return [weight / total for weight in sums]

    def largest(self, count: int) -> list[CauseSet]:
        """Return the most probable sets, the best first; a set without causes is one of them."""
        weights: list[tuple[float, tuple[int, ...]]] = [(self.none, ())]
        weights += [(weight, (place,)) for place, weight in enumerate(self.single)]
        weights += [
            (weight, (first, second))
            for first, row in enumerate(self.pairs)
            for second, weight in enumerate(row, first + 1)
        ]
        total = self.total
        return [CauseSet(causes, weight / total) for weight, causes in nlargest(count, weights) if weight]


def in_order(figure: float) -> float:
    """Round a probability or a gain to be ordered by, so that no system's last digits settle what is equal."""
    return round(figure, 12)


def prior_odds(weights: Sequence[float]) -> list[float]:
    """Return the odds of each cause: its share of all weights, times the number of causes to be expected.

    >>> [round(odds, 3) for odds in prior_odds([3, 1])]
    [0.15, 0.05]
    """
    total = fsum(weights)
    return [EXPECTED * weight / total for weight in weights]


def fails(probabilities: Sequence[float], leak: float = LEAK) -> float:
    """Return with which probability a symptom fails if causes are there that make it fail with these.

    >>> round(fails([0.4, 0.8], leak=0), 3)
    0.88
    """
    survives = 1 - leak
    for probability in probabilities:
        survives *= 1 - probability
    return 1 - survives


def posterior(odds: Sequence[float], findings: Sequence[Finding], leak: float = LEAK) -> Posterior:
    """Weigh all sets of at most two causes by what was observed.

    What passed multiplies a set by the factors of its causes; what failed does not, and is gone through set by set.
    """
    none, single = 1.0, list(odds)
    for finding in findings:
        if not finding.failed:
            none *= 1 - leak
            single = [weight * (1 - p) for weight, p in zip(single, finding.probabilities, strict=True)]
    pairs = [[first * second * none for second in single[place + 1 :]] for place, first in enumerate(single)]
    single = [weight * none for weight in single]
    for finding in findings:
        if finding.failed:
            passes = [1 - p for p in finding.probabilities]
            none *= leak
            single = [weight * (1 - (1 - leak) * q) for weight, q in zip(single, passes, strict=True)]
            pairs = [
                _failed(row, (1 - leak) * passes[place], passes[place + 1 :])
                for place, row in enumerate(pairs)
            ]
            if none < _TINY:
                none, single, pairs = _scaled(none, single, pairs)
    return Posterior(none, single, pairs)


def _scaled(
    none: float, single: list[float], pairs: list[list[float]]
) -> tuple[float, list[float], list[list[float]]]:
    """Divide all weights by the largest one: only their ratios count, and hundreds of failures would leave nothing."""
    largest = max(none, *single, *(max(row) for row in pairs if row))
    return (
        none / largest,
        [weight / largest for weight in single],
        [[weight / largest for weight in row] for row in pairs],
    )


def _failed(row: list[float], survives: float, passes: list[float]) -> list[float]:
    return [weight * (1 - survives * q) for weight, q in zip(row, passes, strict=True)]
