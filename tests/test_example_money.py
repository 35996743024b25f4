"""The bills and the stock of the example book, recomputed another way: from the text, in fractions, by code of its own.

Nothing of jobkit is used but the command line. What is recomputed is said in the README: own lines, else the charge,
before that the last agreement or the quote; shipping and credits beside it; tax once for each rate; halves away from
zero; on hand is what was counted less what jobs took from stock on later days.
"""

from __future__ import annotations

import tomllib
from collections import defaultdict
from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from math import floor
from typing import Any

import pytest

from tests.books import EXAMPLE
from tests.conftest import Run

ON = date(2026, 11, 20)
BENCH = tomllib.loads((EXAMPLE / "bench.toml").read_text("utf-8"), parse_float=str)
STOCK = tomllib.loads((EXAMPLE / "stock.toml").read_text("utf-8"), parse_float=str)["item"]
JOBS: dict[str, dict[str, Any]] = {
    path.stem: tomllib.loads(path.read_text("utf-8"), parse_float=str)
    for path in sorted(EXAMPLE.glob("jobs/*/*.toml"))
}
RATE = Fraction(24)


def cents(money: str) -> Fraction:
    amount, currency = money.split()
    assert currency == "EUR"
    return Fraction(amount) * 100


def half_away(amount: Fraction) -> int:
    """Round to a whole number of cents."""
    whole = floor(abs(amount) + Fraction(1, 2))
    return whole if amount >= 0 else -whole


def euros(amount: Fraction | int) -> str:
    whole = half_away(Fraction(amount))
    return f"{'-' if whole < 0 else ''}{abs(whole) // 100}.{abs(whole) % 100:02} EUR"


def asked(job: dict[str, Any]) -> Iterator[tuple[Fraction, Fraction]]:
    """List the amounts of a bill with their rates of tax."""
    price = job.get("price", {})
    usual = Fraction(price["tax"].removesuffix(" %")) if "tax" in price else RATE
    if "line" in price:
        for line in price["line"]:
            amount = half_away(Fraction(line.get("quantity", 1)) * cents(line["each"]))
            yield Fraction(amount), Fraction(line["tax"].removesuffix(" %")) if "tax" in line else usual
    else:
        text = one_price(job, price)
        if text:
            yield cents(text), usual
    for discount in price.get("discount", ()):
        yield -cents(discount["amount"]), usual
    if "shipping" in price:
        yield cents(price["shipping"]), usual
    for credit in price.get("credit", ()):
        if credit["on"] <= ON and "number" not in credit:
            yield -cents(credit["amount"]), usual


def one_price(job: dict[str, Any], price: dict[str, Any]) -> str | None:
    declined = "declined" in job["dates"] and "outcome" not in job
    if "charged" in price:
        return str(price["charged"])
    if job.get("outcome") in {"beyond-repair", "declined"} or declined:
        return price.get("if_not_repaired")
    if price.get("agreed"):
        return str(price["agreed"][-1]["amount"])
    # A quote with a day of agreement was agreed to as quoted; either way it is the quote that is billed.
    return price.get("quoted")


def gross(job: dict[str, Any]) -> tuple[Fraction, int]:
    """Add up a bill: net, and tax rounded once for each rate."""
    sums: dict[Fraction, Fraction] = defaultdict(Fraction)
    for amount, rate in asked(job):
        sums[rate] += amount
    return sum(sums.values(), Fraction(0)), sum(half_away(net * rate / 100) for rate, net in sums.items())


def test_the_example_bench_is_as_the_recomputation_takes_it() -> None:
    assert (BENCH["tax"]["rate"], BENCH["tax"]["prices"], BENCH["tax"]["rounded"]) == ("24 %", "net", "bill")
    assert len(JOBS) >= 30


@pytest.mark.parametrize("job_id", JOBS)
def test_each_bill_of_the_example(run: Run, job_id: str) -> None:
    job = JOBS[job_id]
    ran = run("bill", job_id, "--book", EXAMPLE, "--on", str(ON), "--format", "json")
    if "received" not in job["dates"]:
        assert (ran.status, "has not been received yet" in ran.err) == (2, True)
        return
    made = ran.data
    if made["basis"] == "breakdown":
        assert "price" not in job
        return
    net, tax = gross(job)
    assert (made["net"], made["tax"], made["gross"]) == (euros(net), euros(tax), euros(net + tax))
    paid = sum(
        (cents(one["amount"]) for one in job["price"].get("payment", ()) if one["on"] <= ON), Fraction(0)
    )
    is_settled = job["dates"].get("paid", date.max) <= ON
    assert made["paid"] == euros(paid)
    assert made["owed"] == euros(0 if is_settled else net + tax - paid)


@pytest.mark.parametrize("job_id", [job_id for job_id, job in JOBS.items() if "received" in job["dates"]])
def test_each_view_by_the_minute(run: Run, job_id: str) -> None:
    job = JOBS[job_id]
    made = run("bill", job_id, "--breakdown", "--book", EXAMPLE, "--on", str(ON), "--format", "json").data
    minutes = sum((Fraction(work.get("minutes", 0)) for work in job.get("work", ())), Fraction(0))
    whole = Fraction(half_away(minutes / 60 * hourly(job)))
    for used in job.get("used", ()):
        if used.get("from") != "client" or "price" in used:
            whole += half_away(cents(used.get("price", used["cost"])) * Fraction(used.get("qty", 1)))
    most = most_allowed(job)
    whole = whole if most is None else min(whole, most)
    price = job.get("price", {})
    whole += cents(price.get("shipping", "0.00 EUR"))
    whole -= sum(
        (cents(credit["amount"]) for credit in price.get("credit", ()) if "number" not in credit), Fraction(0)
    )
    assert made["net"] == euros(whole)


def hourly(job: dict[str, Any]) -> Fraction:
    """Give the one rate that was in force on every day of work of a job."""
    days = {work["at"].date() for work in job.get("work", ())} or {ON}
    rates = {
        [row["amount"] for row in BENCH["bench"]["rate"] if row.get("since", date.min) <= day][-1]
        for day in days
    }
    (rate,) = rates
    return cents(rate)


def cost_on(item: dict[str, Any], day: date) -> Fraction:
    """Give what one piece of an item cost on a day."""
    if isinstance(item["cost"], str):
        return cents(item["cost"])
    return cents([row["amount"] for row in item["cost"] if row.get("since", date.min) <= day][-1])


def most_allowed(job: dict[str, Any]) -> Fraction | None:
    price = job.get("price", {})
    not_repaired = job.get("outcome") in {"beyond-repair", "declined"} or "declined" in job["dates"]
    if not_repaired and "if_not_repaired" in price:
        return cents(price["if_not_repaired"])
    bounds = [cents(price["ceiling"])] if "ceiling" in price else []
    bounds += [cents(one["amount"]) for one in price.get("agreed", ())[-1:]]
    if "agreed" in job["dates"] and "agreed" not in price and "quoted" in price:
        bounds.append(cents(price["quoted"]))
    return max(bounds, default=None)


def test_the_shelf_of_the_example(run: Run) -> None:
    used: dict[str, Fraction] = defaultdict(Fraction)
    lots: dict[tuple[str, str], Fraction] = defaultdict(Fraction)
    for job in JOBS.values():
        for entry in job.get("used", ()):
            item = STOCK.get(entry["item"])
            if entry.get("from", "stock") == "stock" and item["counted_on"] < entry["at"].date() <= ON:
                used[entry["item"]] += Fraction(entry.get("qty", 1))
                lots[entry["item"], entry.get("lot", "")] += Fraction(entry.get("qty", 1))
    shown = run("stock", "--book", EXAMPLE, "--on", str(ON), "--format", "json").data
    assert [one["item"] for one in shown["items"]] == list(STOCK)
    worth = 0
    for one in shown["items"]:
        item = STOCK[one["item"]]
        came = sum(Fraction(row["qty"]) for row in item.get("received", ()) if row["at"].date() <= ON)
        left = Fraction(item["counted"]) + came - used[one["item"]]
        assert Fraction(str(one["on_hand"])) == left
        assert Fraction(str(one["used"])) == used[one["item"]]
        assert one["short"] == ("reorder_at" in item and left <= Fraction(item["reorder_at"]))
        assert one["worth"] == [euros(left * cost_on(item, ON))]
        worth += half_away(left * cost_on(item, ON))
        for lot, wanted in zip(one["lots"], item.get("lot", ()), strict=True):
            assert lot["on_hand"] == wanted["counted"] - lots[one["item"], lot["lot"]]
    assert shown["worth"] == [euros(worth)]


def test_the_earnings_of_the_example(run: Run) -> None:
    billed, parts, minutes = Fraction(0), Fraction(0), Fraction(0)
    for job in JOBS.values():
        if job["dates"].get("finished", job["dates"].get("declined", date.max)) <= ON:
            shipping = cents(job.get("price", {}).get("shipping", "0.00 EUR"))
            notes = [one for one in job.get("price", {}).get("credit", ()) if "number" in one]
            billed += gross(job)[0] - shipping - sum(cents(one["amount"]) for one in notes)
            minutes += sum((Fraction(work.get("minutes", 0)) for work in job.get("work", ())), Fraction(0))
            for used in job.get("used", ()):
                parts += Fraction(used.get("qty", 1)) * cents(used["cost"])
    for by in ("week", "design", "work"):
        shown = run("earnings", "--by", by, "--book", EXAMPLE, "--on", str(ON), "--format", "json").data
        (whole,) = shown["all"]
        assert (whole["billed"], whole["parts"]) == (euros(billed), euros(parts))
        assert whole["per_hour"] == euros((billed - parts) * 60 / minutes)
        assert sum(row["hours"] for row in shown["rows"]) == pytest.approx(float(minutes / 60), abs=0.1)
        # Shares over kinds of work are rounded each: half a cent a row at most.
        rows = [cents(row["billed"]) for row in shown["rows"]]
        assert abs(sum(rows, Fraction(0)) - billed) <= (Fraction(len(rows), 2) if by == "work" else 0)
        assert shown["left_out"] == []
