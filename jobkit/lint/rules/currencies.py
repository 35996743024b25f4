"""The currencies of a bill: one, and known to be meant."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from jobkit.jobs.bench import Bench
from jobkit.jobs.finding import Place
from jobkit.jobs.job import Job, Price
from jobkit.jobs.memoise import memoise_last
from jobkit.jobs.money import Money
from jobkit.lint.registry import Found, rule
from jobkit.named_tuple import NamedTuple

_SINGLE = ("quoted", "ceiling", "if_not_repaired", "charged", "shipping")


class Sum(NamedTuple):
    """An amount under [price], or the price of a part used, and its place."""

    place: Place
    money: Money


@rule("error")
def currency_mixed(job: Job, _bench: Bench) -> Iterator[Found]:
    """The prices of one job are in several currencies.

    What it finds: an amount under [price], or `price` of a part used, in another currency than most amounts of the job.
    The cost of a part to the bench may be in any currency.

    Why it matters: they cannot be added up, so there is no bill.

    How to fix: write all prices and payments of a job in one currency, a payment at the amount it was worth.

    Example: `charged = "155.00 EUR"` with `shipping = "12.00 USD"`.
    """
    given = sums(job)
    if len({one.money.currency for one in given}) < 2:
        return
    ((most, _),) = Counter(one.money.currency for one in given).most_common(1)
    for one in given:
        if one.money.currency != most and not _is_said_of_the_agreement(one.place, job):
            message = f"{one.money} in a job whose other prices are in {most}"
            yield Found(one.place, named(one.place), message, f"write it in {most}")


@rule("note")
def currency_foreign(job: Job, bench: Bench) -> Iterator[Found]:
    """A job is billed in another currency than the bench's.

    What it finds: a job whose amounts are all in one currency, which is not `currency` of bench.toml.

    Why it matters: sums over jobs are shown for each currency separately. It may be intended, or a slip.

    How to fix: write the amounts in the bench's currency; if it is intended, add a waiver with the reason.

    Example: `charged = "155.00 USD"` on a bench with `currency = "EUR"`.
    """
    given = sums(job)
    used = {one.money.currency for one in given}
    if len(used) == 1 and bench.settings.currency and used != {bench.settings.currency}:
        first = given[0]
        message = f"{first.money.currency} on a bench whose currency is {bench.settings.currency}"
        yield Found(
            first.place,
            named(first.place),
            message,
            f"write it in {bench.settings.currency}, if it was a slip",
        )


def _is_said_of_the_agreement(place: Place, job: Job) -> bool:
    """Tell whether price-over-agreed reports this amount already."""
    price = job.price or Price()
    return place == ("price", "charged") and bool(price.agreements or price.ceiling or price.if_not_repaired)


@memoise_last
def sums(job: Job) -> tuple[Sum, ...]:
    """List the amounts that meet on a bill, with their places."""
    price = job.price or Price()
    given = [Sum(("price", key), money) for key in _SINGLE if (money := getattr(price, key))]
    amounts = (
        ("agreed", "amount", [one.amount for one in price.agreements]),
        ("line", "each", [one.each for one in price.lines]),
        ("payment", "amount", [one.amount for one in price.payments]),
        ("credit", "amount", [one.amount for one in price.credits]),
        ("discount", "amount", [one.amount for one in price.discounts]),
        ("refund", "amount", [one.amount for one in price.refunds]),
    )
    for table, key, listed in amounts:
        given += (Sum(("price", table, index, key), money) for index, money in enumerate(listed) if money)
    given += (Sum((*used.path, "price"), used.price) for used in job.used if used.price)
    return tuple(given)


def named(place: Place) -> str:
    """Name what an amount is: the key directly under [price], or the last one."""
    return str(place[1]) if place[0] == "price" else str(place[-1])
