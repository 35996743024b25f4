"""The arithmetic that `--why` shows gives the probability, figure by figure."""

from __future__ import annotations

import re
from math import prod

import pytest

from jobkit.reckon.suspects.arithmetic import arithmetic_of, suspect_named
from jobkit.reckon.suspects.search import search
from jobkit.units.errors import MisuseError
from tests.reckon.suspects.test_search import BENCH, _search, _seen


def test_the_formulas_give_the_factors_and_these_the_probability() -> None:
    found = _search(seen=(_seen("1L", "1H 2L 2H"), _seen("desktop", check="picture")))
    for suspect in found.suspects:
        sums = arithmetic_of(found, suspect)
        assert sums.odds == pytest.approx(0.2 * suspect.weight / sums.weights)
        for factor in sums.factors:
            assert _calculated(factor.formula) == pytest.approx(factor.value, rel=1e-3)
        assert sums.alone == pytest.approx(sums.odds * prod(one.value for one in sums.factors))
        shares = sum(one.probability for one in sums.sets) + sums.rest
        assert shares == pytest.approx(suspect.probability, abs=1e-9)
        alone = next((one.probability for one in sums.sets if len(one.causes) == 1), None)
        assert alone is None or alone == pytest.approx(sums.alone / sums.total)


def _calculated(formula: str) -> float:
    """Work a formula out as it is written."""
    python = formula.replace("−", "-").replace("×", "*").replace("^", "**")
    assert re.fullmatch(r"[0-9.e+\-*() ]+", python)
    return float(eval(python))  # noqa: S307 - figures and signs alone


def test_a_cause_is_found_by_name_by_words_and_by_part() -> None:
    found = _search()
    for name in ("a power stage", "POWER", "q1"):
        assert suspect_named(found, name).candidate.name == "a power stage"


def test_of_the_causes_in_a_part_the_most_probable_is_meant() -> None:
    found = _search(seen=(_seen("1L", "1H"),))
    assert suspect_named(found, "u1") == next(one for one in found.suspects if one.candidate.part == "U1")


def test_the_parts_of_the_total_add_up_to_it() -> None:
    found = _search(seen=(_seen("1L", "1H"),))
    sums = arithmetic_of(found, found.suspects[0])
    assert sums.none + sums.singles + sums.pairs == pytest.approx(sums.total)
    assert sums.none == pytest.approx(0.001 * 0.999)  # one failure and one pass, each by the leak alone


def test_one_observation_is_not_said_to_be_several() -> None:
    found = _search(seen=(_seen("1L", "1H"),))
    sums = arithmetic_of(found, suspect_named(found, "a power stage"))
    assert [one.words for one in sums.factors] == [
        "1 good result that it does not affect",
        "1 failure that it does not affect",
    ]


@pytest.mark.parametrize("name", ["nothing of the kind", "joints"], ids=["unknown", "several"])
def test_a_cause_that_cannot_be_told_is_refused(name: str) -> None:
    with pytest.raises(MisuseError, match="cause"):
        suspect_named(_search(), name)


def test_general_causes_have_no_figures() -> None:
    job = _search().job
    found = search(job._replace(board=job.board._replace(design=None)), BENCH)
    with pytest.raises(MisuseError, match="no figures"):
        suspect_named(found, "firmware")
