"""What a check tells: the identities of entropy, and all results gone through one by one."""

from __future__ import annotations

from itertools import product
from time import perf_counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobkit.reckon.suspects.network import LEAK, CauseSet, posterior, prior_odds
from jobkit.reckon.suspects.next_check import entropy, gain_of, results_of, sets_worth_looking_at
from jobkit.reckon.suspects.possible_checks import PossibleCheck
from jobkit.reckon.suspects.symptoms import named_symptom

ONE_OF_TWO = [CauseSet((0,), 0.5), CauseSet((1,), 0.5)]


def _check(symptoms: int, minutes: float = 5) -> PossibleCheck:
    return PossibleCheck("a check", tuple(named_symptom(f"s{place}") for place in range(symptoms)), minutes)


def test_entropy_of_a_fair_coin_is_one_bit() -> None:
    assert entropy([0.5, 0.5]) == 1


def test_entropy_of_a_channel_with_crossover_0_11() -> None:
    # Cover and Thomas, Elements of Information Theory, from memory: H(0.11) is very nearly half a bit.
    assert entropy([0.11, 0.89]) == pytest.approx(0.49992, abs=5e-6)


def test_a_check_that_depends_on_nothing_tells_nothing() -> None:
    assert gain_of(_check(1), ONE_OF_TWO, [[1.0, 1.0]]).bits == pytest.approx(0, abs=1e-12)


def test_a_check_that_copies_the_cause_tells_all_but_the_leak() -> None:
    # It fails surely with cause 0 and by leak alone with cause 1: H(result) − H(leak) / 2.
    fails = (1 + LEAK) / 2
    expected = entropy([fails, 1 - fails]) - entropy([LEAK, 1 - LEAK]) / 2
    assert gain_of(_check(1), ONE_OF_TWO, [[0.0, 1.0]]).bits == pytest.approx(expected)
    assert 0.99 < expected < 1


def test_a_result_that_cannot_be_changes_no_probability_to_one() -> None:
    passes, fails = results_of(_check(1), [CauseSet((0,), 1.0)], [[0.0]])
    assert (passes.probability, passes.after) == (0, {0: 0})
    assert (fails.probability, fails.after) == (1, {0: 1})


def test_without_causes_no_result_is_probable() -> None:
    assert [(one.probability, one.after) for one in results_of(_check(1), [], [])] == [(0, {}), (0, {})]


def test_bits_are_divided_by_minutes() -> None:
    gain = gain_of(_check(1, minutes=4), ONE_OF_TWO, [[0.0, 1.0]])
    assert gain.per_minute == gain.bits / 4


@st.composite
def _cases(draw: st.DrawFn, most: int) -> tuple[list[CauseSet], list[list[float]]]:
    causes, symptoms = draw(st.integers(1, 4)), draw(st.integers(1, most))
    weights = [draw(st.floats(0.05, 1)) for _ in range(causes + 1)]
    total = sum(weights)
    sets = [CauseSet((), weights[-1] / total)]
    sets += [CauseSet((cause,), weight / total) for cause, weight in enumerate(weights[:-1])]
    return sets, [[draw(st.floats(0.01, 1)) for _ in range(causes)] for _ in range(symptoms)]


def _plain(sets: list[CauseSet], survives: list[list[float]]) -> float:
    """Return the mutual information from every result there can be."""
    expected: dict[tuple[bool, ...], float] = {}
    known = 0.0
    for one in sets:
        passes = [(1 - LEAK) * (row[one.causes[0]] if one.causes else 1) for row in survives]
        results = {}
        for result in product((False, True), repeat=len(survives)):
            p = 1.0
            for failed, q in zip(result, passes, strict=True):
                p *= 1 - q if failed else q
            results[result] = p
            expected[result] = expected.get(result, 0) + one.probability * p
        known += one.probability * entropy(list(results.values()))
    return entropy(list(expected.values())) - known


@given(_cases(most=2))
def test_exact_for_checks_that_show_one_or_two_things(case: tuple[list[CauseSet], list[list[float]]]) -> None:
    sets, survives = case
    assert gain_of(_check(len(survives)), sets, survives).bits == pytest.approx(
        _plain(sets, survives), abs=1e-9
    )


@given(_cases(most=5))
def test_a_lower_bound_for_checks_that_show_more(case: tuple[list[CauseSet], list[list[float]]]) -> None:
    sets, survives = case
    bits = gain_of(_check(len(survives)), sets, survives).bits
    assert 0 <= bits <= _plain(sets, survives) + 1e-9


def test_results_keep_to_bayes() -> None:
    sets, survives = [CauseSet((0,), 0.2), CauseSet((1,), 0.8)], [[0.1, 1.0]]
    well, bad = results_of(_check(1), sets, survives)
    fails = 0.2 * (1 - (1 - LEAK) * 0.1) + 0.8 * LEAK
    assert bad.words == "fails"
    assert bad.probability == pytest.approx(fails)
    assert bad.after[0] == pytest.approx(0.2 * (1 - (1 - LEAK) * 0.1) / fails)
    assert well.probability + bad.probability == pytest.approx(1)


def test_sets_that_hold_nearly_all_are_enough() -> None:
    clear = posterior([0.5, *[1e-6] * 199], [])
    assert len(sets_worth_looking_at(clear, [_check(1)])) == 50
    flat = posterior(prior_odds([1.0] * 200), [])
    assert len(sets_worth_looking_at(flat, [_check(1)])) == 2000


@pytest.mark.slow
def test_two_hundred_checks_take_less_than_a_second() -> None:
    checks = [_check(1) for _ in range(200)]
    sets = sets_worth_looking_at(posterior(prior_odds([1.0] * 200), []), checks)
    rows = [[((7 * cause + 3 * check) % 19 + 1) / 20 for cause in range(200)] for check in range(200)]
    start = perf_counter()
    assert all(gain_of(check, sets, [row]).bits >= 0 for check, row in zip(checks, rows, strict=True))
    assert perf_counter() - start < 1
