"""The page of comebacks in small books: no share, no projection from a handful."""

from __future__ import annotations

from typing import Any

import pytest

from jobkit.jobs.duration import parse_duration
from jobkit.jobs.money import parse_money
from jobkit.pages.bench.comebacks import comebacks_page
from jobkit.pages.blocks import Answer
from jobkit.pages.forms.colour import Paint
from jobkit.pages.forms.text import as_text
from jobkit.reckon.warranty.extension import FEW_EVENTS, warranty_extension
from tests.reckon.test_comebacks import ON, stayed, studied
from tests.schema.schemas import fast


def _answer(boards: int, back: int) -> Answer:
    books = [stayed(number, 20 + number, came_back=number <= back) for number in range(1, boards + 1)]
    found = studied(*(one._replace(design="alder-a1") for book in books for one in book))
    longer = warranty_extension(found.cases, parse_duration("P12M"), ON, parse_money("48.00 EUR"), [])
    answer = comebacks_page("Skerrie Bench", found, longer)
    assert fast("answers/comebacks").is_valid(answer.data)
    return answer


def _within(answer: Answer) -> dict[str, Any]:
    assert isinstance(answer.data, dict)
    found: dict[str, Any] = answer.data["longer"]["within"]
    return found


def _words(answer: Answer) -> str:
    return " ".join(as_text(answer.page, 200, Paint(on=False)).split())


@pytest.mark.parametrize(("boards", "back"), [(1, 1), (4, 1), (4, 4)])
def test_fewer_than_five_boards_get_no_share(boards: int, back: int) -> None:
    page = _words(_answer(boards, back))
    assert "fewer than 5 boards are too few for a share" in page
    assert f"Came back, of fewer than 5 boards each: alder-a1 ({back} of {boards})." in page
    assert "share 95 % interval" not in page


def test_five_boards_get_a_share() -> None:
    page = _words(_answer(5, 1))
    assert "1 of 5 repaired boards came back under warranty, 20.0 %" in page
    assert "alder-a1 5 1 20.0 %" in page


@pytest.mark.parametrize("back", range(1, FEW_EVENTS))
def test_nothing_is_projected_from_fewer_than_five_comebacks(back: int) -> None:
    answer = _answer(8, back)
    page = _words(answer)
    assert "too few for an estimate" in page
    assert "more comebacks" not in page
    within = _within(answer)
    assert (within["expected"], within["low"], within["high"], within["cost"]) == (None,) * 4


def test_five_comebacks_are_projected_with_their_interval() -> None:
    answer = _answer(8, 5)
    within = _within(answer)
    # Garwood, Biometrika 28 (1936): the exact 95 % limits of 5 events are 1.6235 and 11.6683.
    assert within["low"] / within["expected"] == pytest.approx(1.6235 / 5, rel=1e-4)
    assert within["high"] / within["expected"] == pytest.approx(11.6683 / 5, rel=1e-4)
    assert "more comebacks (95 %:" in _words(answer)
