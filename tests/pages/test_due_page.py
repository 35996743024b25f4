"""What falls due, in words."""

from __future__ import annotations

from datetime import date

import pytest

from jobkit.jobs.duration import Duration
from jobkit.pages.bench.due import due_page, next_step, why
from jobkit.reckon.progress.due import Due

ON, SINCE = date(2026, 11, 20), date(2026, 11, 1)

WORDS = [
    ("warranty", "covered", "", "last day of cover, since 2026-11-01"),
    ("quote", "quoted", "150.00 EUR", "quoted 150.00 EUR on 2026-11-01, no answer"),
    ("quote", "quoted", "", "quoted a price on 2026-11-01, no answer"),
    ("quote", "asked", "new coil?", "waiting for the client's answer since 2026-11-01: new coil?"),
    ("part", "donor", "a dead B9", "waiting for donor since 2026-11-01: a dead B9"),
    ("part", "shipping", "", "waiting for shipping since 2026-11-01"),
    ("payment", "sent", "9.00 EUR", "sent 2026-11-01, 9.00 EUR unpaid"),
    ("payment", "finished", "9.00 EUR", "finished 2026-11-01, 9.00 EUR unpaid"),
    ("collection", "finished", "", "finished 2026-11-01, not collected"),
    ("collection", "declined", "", "declined 2026-11-01, not collected"),
    ("promise", "on the bench", "", "promised for 2026-11-20, now on the bench"),
    ("meter", "1 year", "dmm-1", "calibrated 2026-11-01, valid for 1 year"),
    ("dry", "level 3, 168 h", "gddr6", "bag open since 2026-11-01 (level 3, 168 h)"),
]


@pytest.mark.parametrize(("what", "how", "about", "words"), WORDS, ids=[words for *_, words in WORDS])
def test_each_says_why_and_what_to_do(what: str, how: str, about: str, words: str) -> None:
    item = Due(ON, what, "K26-0001", SINCE, how, about)
    assert why(item) == words
    assert next_step(item)


def test_days_are_counted_to_the_day_and_past_it() -> None:
    items = [Due(ON.replace(day=day), "promise", "K26-0001", SINCE, "agreed") for day in (19, 20, 21)]
    answer = due_page("A bench", items, ON, Duration(days=30))
    assert isinstance(answer.data, dict)
    assert [item["days"] for item in answer.data["items"]] == [-1, 0, 1]
    assert "3 items, 1 of them overdue." in str(answer.page)
    assert "Nothing is due." in str(due_page("A bench", [], ON, Duration(days=30)).page)
