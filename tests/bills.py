"""One small book for tests of money: a bench with tax, some stock, and one job whose price a test writes."""

from __future__ import annotations

from pathlib import Path

from tests.books import make_book

BENCH = """\
format = 1
[bench]
name = "Test Bench"
letter = "K"
zone = "UTC"
currency = "{currency}"
rate = "{rate}"
[tax]
name = "VAT"
rate = "{percent} %"
prices = "{prices}"
rounded = "{rounded}"
"""

STOCK = """\
format = 1
[item.stage]
what = "power stage"
counted = 14
counted_on = 2026-09-30
cost = "4.20 EUR"
price = "6.00 EUR"
tax = "11 %"
[item.paste]
what = "paste, by the gram"
counted = 70
counted_on = 2026-09-30
cost = "0.40 EUR"
"""

JOB = """\
format = 1
id = "K26-0001"
client = "c-001"
title = "No picture"
{outcome}
[board]
kind = "graphics card"

[intake]
complaint = "No picture"

[dates]
received = 2026-10-05
quoted = 2026-10-06
{dates}
"""

ON = ("--on", "2026-11-20")
"""A day on which all of it is known, whatever the clock of the machine says."""

MADE = "started = 2026-10-08\nfinished = 2026-10-09\nsent = 2026-10-12\n"


def bench(
    percent: str = "24",
    prices: str = "net",
    rounded: str = "bill",
    currency: str = "EUR",
    rate: str = "48.00 EUR",
) -> str:
    """Write a bench.toml."""
    return BENCH.format(percent=percent, prices=prices, rounded=rounded, currency=currency, rate=rate)


def job(price: str, outcome: str = "repaired", dates: str = MADE) -> str:
    """Write the job; `price` is all that follows the dates."""
    return JOB.format(outcome=f'outcome = "{outcome}"' if outcome else "", dates=dates) + price


def book(root: Path, price: str, bench_toml: str | None = None, **more: str) -> Path:
    """Lay out the book with one job; `more` goes to `job`."""
    files = {
        "bench.toml": bench_toml or bench(),
        "stock.toml": STOCK,
        "boards/alder-a1.toml": None,
        "jobs/2026/K26-0001.toml": job(price, **more),
    }
    return make_book(root, files)


def lines(*rows: str, tax: str = "") -> str:
    """Write bill lines, each "quantity price" with a tax of its own behind a slash."""
    written = []
    for row in rows:
        what, _, percent = row.partition(" / ")
        quantity, each = what.split(" ", 1)
        own = f'tax = "{percent}"\n' if percent else ""
        written.append(f'[[price.line]]\nwhat = "part"\nquantity = {quantity}\neach = "{each}"\n{own}')
    return f"[price]\n{tax}" + "".join(written)
