"""The network against worked textbook examples, a general exact engine, and sums over all sets."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from time import perf_counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.reckon.suspects.network import EXPECTED, LEAK, Finding, fails, posterior, prior_odds
from tests.reckon.suspects.exact_engine import noisy_or, query

# Russell and Norvig, Artificial Intelligence: A Modern Approach, chapter on Bayesian networks, the table of the
# noisy-OR for P(fever), from memory: a cold fails to give fever with 0.6, flu with 0.2, malaria with 0.1.
COLD, FLU, MALARIA = 0.4, 0.8, 0.9
FEVER = [
    ((), 0.0),
    ((MALARIA,), 0.9),
    ((FLU,), 0.8),
    ((FLU, MALARIA), 0.98),
    ((COLD,), 0.4),
    ((COLD, MALARIA), 0.94),
    ((COLD, FLU), 0.88),
    ((COLD, FLU, MALARIA), 0.988),
]


@pytest.mark.parametrize(("causes", "probability"), FEVER, ids=map(str, range(len(FEVER))))
def test_noisy_or_of_the_textbook(causes: tuple[float, ...], probability: float) -> None:
    assert fails(causes, leak=0) == pytest.approx(probability, abs=1e-12)


def test_the_engine_gives_the_burglary_of_the_textbook() -> None:
    # The same book, from memory: P(Burglary | JohnCalls, MaryCalls) = 0.284.
    found = query(
        """
        0.001::b. 0.002::e.
        0.95::a :- b, e.  0.94::a :- b, \\+e.  0.29::a :- \\+b, e.  0.001::a :- \\+b, \\+e.
        0.90::j :- a.  0.05::j :- \\+a.  0.70::m :- a.  0.01::m :- \\+a.
        evidence(j). evidence(m). query(b).
        """
    )
    assert found["b"] == pytest.approx(0.284, abs=5e-4)


def test_the_fever_as_a_network() -> None:
    # Prior odds of one tenth each; fever is there. By hand: a set weighs its odds times its probability of fever.
    found = posterior([0.1] * 3, [Finding([COLD, FLU, MALARIA], failed=True)], leak=0)
    single = [0.1 * COLD, 0.1 * FLU, 0.1 * MALARIA]
    pairs = {(0, 1): 0.01 * 0.88, (0, 2): 0.01 * 0.94, (1, 2): 0.01 * 0.98}
    total = sum(single) + sum(pairs.values())
    assert found.marginals()[0] == pytest.approx((single[0] + pairs[0, 1] + pairs[0, 2]) / total)


@st.composite
def _networks(draw: st.DrawFn) -> tuple[list[float], list[list[float]], list[bool]]:
    causes, symptoms = draw(st.integers(2, 5)), draw(st.integers(1, 5))
    share = st.floats(0.01, 0.9)
    odds = [draw(share) for _ in range(causes)]
    rows = [[draw(st.one_of(st.just(0.0), share)) for _ in range(causes)] for _ in range(symptoms)]
    return odds, rows, [draw(st.booleans()) for _ in range(symptoms)]


@given(_networks())
def test_as_a_general_engine_says(network: tuple[list[float], list[list[float]], list[bool]]) -> None:
    odds, rows, failed = network
    ours = posterior(odds, [Finding(row, one) for row, one in zip(rows, failed, strict=True)]).marginals()
    affects = [{s: row[cause] for s, row in enumerate(rows) if row[cause]} for cause in range(len(odds))]
    assert ours == pytest.approx(noisy_or(odds, affects, dict(enumerate(failed)), LEAK), abs=1e-9)


@given(_networks())
def test_as_a_sum_over_all_sets(network: tuple[list[float], list[list[float]], list[bool]]) -> None:
    odds, rows, failed = network
    sets = [(), *((one,) for one in range(len(odds))), *combinations(range(len(odds)), 2)]
    weights = {causes: _weight(causes, odds, rows, failed) for causes in sets}
    found = posterior(odds, [Finding(row, one) for row, one in zip(rows, failed, strict=True)])
    assert found.total == pytest.approx(sum(weights.values()))
    shown = {one.causes: one.probability for one in found.largest(len(sets))}
    assert shown == pytest.approx({causes: weight / found.total for causes, weight in weights.items()})


def _weight(
    causes: tuple[int, ...], odds: Sequence[float], rows: Sequence[Sequence[float]], failed: Sequence[bool]
) -> float:
    weight = 1.0
    for cause in causes:
        weight *= odds[cause]
    for row, one in zip(rows, failed, strict=True):
        p = fails([row[cause] for cause in causes])
        weight *= p if one else 1 - p
    return weight


def test_prior_odds_add_up_to_what_is_expected() -> None:
    assert sum(prior_odds([3, 1, 0.5, 12])) == pytest.approx(EXPECTED)


def test_hundreds_of_failures_that_nothing_explains_leave_the_odds_as_they_were() -> None:
    found = posterior([0.1, 0.05], [Finding([0.0, 0.0], failed=True)] * 400)
    prior = posterior([0.1, 0.05], [])
    assert found.marginals() == pytest.approx(prior.marginals())


def test_hundreds_of_failures_that_one_cause_explains() -> None:
    found = posterior([0.1, 0.05], [Finding([0.9, 0.0], failed=True)] * 400)
    assert found.marginals()[0] == pytest.approx(1)


@pytest.mark.slow
def test_two_hundred_causes_and_findings_take_less_than_a_second() -> None:
    rows = [[((7 * cause + 3 * check) % 19) / 20 for cause in range(200)] for check in range(200)]
    start = perf_counter()
    found = posterior(
        prior_odds([1.0] * 200), [Finding(row, check % 2 == 0) for check, row in enumerate(rows)]
    )
    assert sum(found.marginals()) <= 2.000001
    assert perf_counter() - start < 1
