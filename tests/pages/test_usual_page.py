"""The page of what is usual says of odd samples what they are."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

import pytest

from jobkit.jobs.digest import facts_of
from jobkit.pages.bench.readings import ReadingsView, reading_blocks
from jobkit.pages.bench.usual import usual_page
from jobkit.pages.bench.usual_data import UsualView
from jobkit.pages.forms.colour import Paint
from jobkit.pages.forms.text import as_text
from jobkit.reckon.readings.against_usual import against_usual
from jobkit.reckon.readings.limits import judge_reading
from jobkit.reckon.readings.usual import usual_of
from tests.reckon.readings import DESIGN, a_job, a_reading, bench, good_boards, limited
from tests.schema.schemas import fast


def _page(values: Sequence[str], *, drop_outliers: bool = False, each: bool = False, **how: Any) -> str:
    learned = usual_of(DESIGN, good_boards(values, **how), bench(), drop_outliers=drop_outliers)
    answer = usual_page(UsualView(learned, date(2026, 11, 20), each))
    assert fast("answers/usual").is_valid(answer.data)
    return " ".join(as_text(answer.page, 200, Paint(on=False)).split())


@pytest.mark.parametrize(
    ("values", "said"),
    [
        (
            ["1 kΩ", "1.1 kΩ", "OL"],
            ["2 + 1 OL", "1.000 .. OL", "1 board read open, which is not a number", "14.3 %"],
        ),
        (["OL"] * 4, ["0 + 4 OL", "4 boards read open", "18.5 %"]),
        (["23.4 Ω"] * 5, ["23.4 .. 23.4", "An interval without width", "below the resolution of the meter"]),
        (["1 Ω", "3 Ω", "10 Ω", "30 Ω"], ["(log)", "so it is that of the logarithms"]),
        (["23.4 Ω"], ["1 23.4 23.4 23.4", "0.0 % for n = 1"]),
    ],
    ids=str,
)
def test_odd_samples_are_explained(values: list[str], said: list[str]) -> None:
    page = _page(values)
    for words in said:
        assert words in page


def test_each_reading_with_the_sum_on_the_logarithmic_scale() -> None:
    page = _page(["1 Ω", "3 Ω", "10 Ω", "30 Ω", "OL"], each=True)
    assert "of the decimal logarithms" not in page  # an open one: no interval
    assert "OL OL open" in page
    page = _page(["1 Ω", "3 Ω", "10 Ω", "30 Ω"], each=True)
    # mean and sd of 0, 0.4771, 1, 1.4771, and the exact factor of n = 4
    assert (
        "n = 4; of the decimal logarithms, in Ω: mean 0.7386, sd 0.6397; 10 to the power of 0.7386 ± 6.3"
        in page
    )
    assert "× 0.6397 = 481 µΩ .. 62.4 kΩ." in page  # 10^(0.7386 − 4.0564) and 10^(0.7386 + 4.0564)


def test_what_was_screened_out_or_still_moved_is_listed() -> None:
    values = ["23.1 Ω", "23.2 Ω", "23.3 Ω", "23.2 Ω", "23.1 Ω", "31 Ω"]
    page = _page(values, drop_outliers=True, each=True)
    assert "dropped as outliers (robust z above 3.5): K26-0006 (31 Ω)" in page
    assert "31 Ω 31 Ω dropped as outlier" in page
    assert "but no confidence is given" in page
    assert "95 % confidence" not in page
    assert "range seen: it holds" not in page
    assert "not counted because unsettled: K26-0001." in _page(["23 Ω"], settled=False)


def test_leads_show_beside_what_was_read() -> None:
    assert "dmm-1 0.43 Ω 0.12 Ω 0.31 Ω" in _page(["0.43 Ω"], each=True, meter="dmm-1")


@pytest.mark.parametrize(
    ("values", "said"),
    [
        (["23 Ω", "24 Ω"], "23 .. 24 Ω seen 2 too few boards"),
        (["23 Ω", "24 Ω", "OL"], "23 .. 24 Ω, or OL 3 too few boards"),
        (["OL"] * 4, "OL 4 low"),
    ],
    ids=str,
)
def test_arrival_readings_are_set_against_few_or_open_boards(values: list[str], said: str) -> None:
    job = a_job(99, [a_reading("9.9 Ω", stage="arrival")], finished=None)
    view = ReadingsView(
        [judge_reading(one, bench(), None) for one in job.readings],
        against_usual(job, good_boards(values), bench()),
    )
    assert said in " ".join(as_text(list(reading_blocks(view)), 200, Paint(on=False)).split())


def test_a_board_alone_on_its_design_is_set_against_nothing() -> None:
    job = a_job(99, [a_reading("9.9 Ω", stage="arrival")])
    assert against_usual(job, [facts_of(job)], bench()) == {}


def test_a_one_sided_limit_is_shown_with_its_sum() -> None:
    facts = good_boards(["23.0 Ω", "23.1 Ω", "23.2 Ω", "23.3 Ω", "23.4 Ω"])
    learned = usual_of(DESIGN, facts, bench(designs={DESIGN: limited(">= 10 Ω")}))
    answer = usual_page(UsualView(learned, date(2026, 11, 20), each=True))
    assert fast("answers/usual").is_valid(answer.data)
    page = " ".join(as_text(answer.page, 200, Paint(on=False)).split())
    assert "23.00 .. 23.40 >= 22.54" in page
    assert "exact one-sided k = 4.2027 for n = 5" in page
    # 23.2 − 4.2027 × 0.15811
    assert "23.2000 − 4.2027 × 0.1581 = 22.54 Ω." in page
