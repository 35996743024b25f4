"""What a message to the client is about, from where its job is."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

import pytest

from jobkit.jobs.bench import Bench
from jobkit.jobs.entries import Message
from jobkit.jobs.job import Job
from jobkit.jobs.settings import Patience, Settings
from jobkit.reckon.client.occasion import (
    PAYMENT,
    QUOTE,
    READY,
    RECEIVED,
    SENT,
    WARRANTY,
    OccasionError,
    check_occasion,
    occasion,
)
from tests.reckon.made import made

BENCH = Bench(Settings(currency="EUR", patience=Patience(payment=14)))
DONE = {"received": "2026-10-01", "outcome": "repaired", "finished": "2026-10-05"}
GONE = {**DONE, "sent": "2026-10-06"}
OWED = {**GONE, "price_charged": "100.00 EUR"}


def said(day: int, other: str = "client", sender: str | None = None, hour: int = 9) -> Message:
    return Message((), datetime(2026, 10, day, hour), other=other, sender=sender)


OCCASIONS: dict[str, tuple[dict[str, Any], tuple[Message, ...], int, str]] = {
    "it came": ({"received": "2026-10-01"}, (), 20, RECEIVED),
    "it was quoted": ({"received": "2026-10-01", "price_quoted": "90.00 EUR"}, (), 20, QUOTE),
    "it is finished": (DONE, (), 20, READY),
    "the client declined": ({"received": "2026-10-01", "declined": "2026-10-02"}, (), 20, READY),
    "it was collected": ({**DONE, "collected": "2026-10-06"}, (), 20, READY),
    "it was sent": (GONE, (), 20, SENT),
    "14 days to pay are not over": (OWED, (), 20, SENT),
    "they are": (OWED, (), 21, PAYMENT),
    "it was paid": ({**OWED, "paid": "2026-10-06"}, (), 21, SENT),
    "the client wrote the day after": (GONE, (said(7),), 20, WARRANTY),
    "the client wrote on the day": (GONE, (said(6),), 20, SENT),
    "the carrier wrote": (GONE, (said(7, "carrier"),), 20, SENT),
    "you wrote": (GONE, (said(7, sender="us"),), 20, SENT),
    "you answered": (GONE, (said(7), said(8, sender="us")), 20, SENT),
    "you answered, written down first": (GONE, (said(8, sender="us"), said(7)), 20, SENT),
    "the client wrote again": (GONE, (said(7, sender="us"), said(8, sender="them")), 20, WARRANTY),
    "the client wrote at no known time": (GONE, (Message((), None, other="client"),), 20, SENT),
    "the client wrote, and has not paid": (OWED, (said(7),), 30, WARRANTY),
    "the client wrote to a board that is here": (DONE, (said(7),), 20, READY),
}


@pytest.mark.parametrize(("fields", "messages", "on", "expected"), OCCASIONS.values(), ids=OCCASIONS)
def test_occasion(fields: dict[str, Any], messages: tuple[Message, ...], on: int, expected: str) -> None:
    job = Job("jobs/2026/K26-0001.toml", "K26-0001", messages=messages)
    assert occasion(job, made("K26-0001", **fields), BENCH, date(2026, 10, on)) == expected


@pytest.mark.parametrize("key", ["agreed", "started"])
def test_nothing_to_write_while_it_is_on_the_bench(key: str) -> None:
    facts = made("K26-0001", received="2026-10-01", **{key: "2026-10-02"})
    with pytest.raises(
        OccasionError, match=r"^K26-0001 is on the bench, with nothing to write; choose: --about rec"
    ):
        occasion(Job("jobs/2026/K26-0001.toml", "K26-0001"), facts, BENCH, date(2026, 10, 20))


REFUSED = {
    QUOTE: ({"received": "2026-10-01"}, {"price_quoted": "90.00 EUR"}, "has no quote"),
    READY: ({"received": "2026-10-01"}, DONE, "is not finished"),
    SENT: (DONE, GONE, "was not sent"),
    PAYMENT: (GONE, OWED, "has nothing left to pay"),
}


@pytest.mark.parametrize(("about", "case"), REFUSED.items(), ids=REFUSED)
def test_a_message_too_early(about: str, case: tuple[dict[str, Any], dict[str, Any], str]) -> None:
    early, right, why = case
    with pytest.raises(OccasionError, match=f"^K26-0001 {why}; choose another: --about received, quote"):
        check_occasion(about, made("K26-0001", **early), BENCH)
    check_occasion(about, made("K26-0001", **right), BENCH)


@pytest.mark.parametrize("about", [RECEIVED, WARRANTY])
def test_a_message_that_fits_any_step(about: str) -> None:
    check_occasion(about, made("K26-0001", received="2026-10-01"), BENCH)


def test_a_declined_board_is_ready_too() -> None:
    check_occasion(READY, made("K26-0001", received="2026-10-01", declined="2026-10-02"), BENCH)
