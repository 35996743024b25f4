"""Status is derived from dates alone, the first line that applies."""

from __future__ import annotations

from datetime import date

import pytest

from jobkit.book.read.load import load_job
from jobkit.jobs.asof import facts_as_of
from jobkit.jobs.digest import facts_of
from jobkit.jobs.facts import Facts
from jobkit.reckon.progress.status import owed, status
from tests.books import JOB_PATH

BEGIN = """\
format = 1
id = "K26-0001"
client = "c-1"
title = "t"
[board]
kind = "graphics card"
[intake]
complaint = "c"
"""
ORDER = ("received", "quoted", "agreed", "declined", "started", "finished", "paid", "sent", "collected")
DAY = {"announced": 1, **{name: number for number, name in enumerate(ORDER, 1)}}
PRICE = '[price]\ncharged = "10.00 EUR"\n'
KEPT = '[fate]\nis = "kept-for-parts"\nowner_agreed = true\n'

CASES = [
    ("announced", "", "announced"),
    ("announced", '[[wait]]\nfor = "shipping"\nsince = 2026-10-02\n', "announced, waiting for shipping"),
    ("announced quoted agreed", "", "announced"),
    ("announced declined", "", "done"),
    ("announced received", "", "booked in"),
    ("announced received quoted declined", "", "to return"),
    ("received", "", "booked in"),
    ("received quoted", "", "quoted"),
    ("received quoted agreed", "", "agreed"),
    ("received quoted agreed started", "", "on the bench"),
    ("received quoted declined", "", "to return"),
    ("received started declined", "", "to return"),
    ("received started finished", "", "ready"),
    ("received quoted declined finished", "", "ready"),
    ("received finished sent", PRICE, "sent, unpaid"),
    ("received finished sent paid", PRICE, "done"),
    ("received finished paid", PRICE, "ready"),
    ("received finished sent", "", "done"),
    ("received finished sent", '[price]\ncharged = "0.00 EUR"\n', "done"),
    ("received finished sent", '[price]\nquoted = "10.00 EUR"\n', "sent, unpaid"),
    ("received finished collected", PRICE, "done"),
    ("received declined sent", '[price]\nquoted = "10.00 EUR"\n', "done"),
    ("received declined sent", '[price]\nif_not_repaired = "5.00 EUR"\n', "sent, unpaid"),
    ("received started", '[[wait]]\nfor = "parts"\nsince = 2026-10-05\n', "on the bench, waiting for parts"),
    ("received started", '[[wait]]\nfor = "parts"\nsince = 2026-10-05\nuntil = 2026-10-06\n', "on the bench"),
    ("received quoted", '[[price.agreed]]\non = 2026-10-03\namount = "9.00 EUR"\n', "agreed"),
    ("received quoted", '[[price.agreed]]\non = 2026-10-01\namount = "9.00 EUR"\n', "quoted"),
    ("received finished", KEPT, "done"),
    ("received finished", KEPT + PRICE, "done"),
    ("received finished", KEPT.replace("kept-for-parts", "recycled"), "done"),
    ("received finished", KEPT.replace("true", "false"), "ready"),
    ("received declined", KEPT, "to return"),
    ("received started", KEPT, "on the bench"),
    ("received finished", KEPT.replace("kept-for-parts", "returned"), "ready"),
    ("received finished sent paid", '[[wait]]\nfor = "client"\nsince = 2026-10-05\n', "done"),
]


def _facts(dates: str, more: str = "") -> Facts:
    lines = "".join(f"{name} = 2026-10-{DAY[name]:02}\n" for name in dates.split())
    loaded = load_job(JOB_PATH, f"{BEGIN}[dates]\n{lines}{more}".encode())
    assert loaded.job is not None
    assert not loaded.troubles
    return facts_of(loaded.job)


@pytest.mark.parametrize(
    ("dates", "more", "word"), CASES, ids=[f"{dates}: {word}" for dates, _, word in CASES]
)
def test_status(dates: str, more: str, word: str) -> None:
    assert str(status(_facts(dates, more))) == word


EVERY_DAY = [
    (0, None),
    (1, "booked in"),
    (2, "quoted"),
    (3, "agreed"),
    (4, "agreed"),
    (5, "on the bench"),
    (6, "ready"),
    (7, "ready"),
    (8, "done"),
]


@pytest.mark.parametrize(("day", "word"), EVERY_DAY)
def test_what_is_dated_later_is_invisible(day: int, word: str | None) -> None:
    whole = _facts("received quoted agreed started finished paid sent", PRICE)
    known = facts_as_of([whole], date(2026, 10, day) if day else date(2026, 9, 30))
    assert [status(facts).word for facts in known] == ([word] if word else [])


def test_a_wait_that_ends_later_is_still_open() -> None:
    whole = _facts("received started", '[[wait]]\nfor = "donor"\nsince = 2026-10-05\nuntil = 2026-10-09\n')
    (known,) = facts_as_of([whole], date(2026, 10, 8))
    assert status(known).waiting == "donor"


def test_the_outcome_is_not_known_before_the_job_is_finished() -> None:
    whole = _facts("received started finished", 'outcome = "x"\n' and PRICE)._replace(outcome="repaired")
    (before,), (after,) = (facts_as_of([whole], date(2026, 10, day)) for day in (5, 6))
    assert (before.outcome, before.price_charged) == ("", "")
    assert (after.outcome, str(owed(after))) == ("repaired", "10.00 EUR")
