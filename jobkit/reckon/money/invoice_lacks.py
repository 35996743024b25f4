"""What a paper lacks before it can be given as data: EN 16931-1:2017 asks for more than a reader needs."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import chain

from jobkit.jobs.client import Client
from jobkit.jobs.country import CountryError, check_country
from jobkit.jobs.currency import minor_units
from jobkit.jobs.money import negated, rounded, total
from jobkit.jobs.settings import Settings
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.money.structured_invoice import (
    EXEMPT,
    EXPORT,
    OUTSIDE,
    Issued,
    StructuredInvoice,
    category,
    seller,
)
from jobkit.units.errors import MisuseError

_MOST_DECIMALS = 2
"""Decimals that an amount may have (BR-DEC-09 and the rules after it)."""

_BENCH, _TAX = "under [bench] of bench.toml", "under [tax] of bench.toml"


class IncompleteError(MisuseError):
    """A paper that lacks what the standard asks for."""


class Lack(NamedTuple):
    """What a paper lacks, and how to add it."""

    what: str
    mend: str


def check_complete(issued: Issued, bench: Settings, ref: str, client: Client | None) -> None:
    """Raise IncompleteError that names all that a paper lacks."""
    lacks = tuple(
        chain(_of_bench(bench), _of_client(ref, client), _of_tax(issued, bench), _of_amounts(issued))
    )
    if lacks:
        mend = "; ".join(f"{lack.what}: {lack.mend}" for lack in lacks)
        raise IncompleteError(f"{issued.number} cannot be given as data", mend)


def _of_bench(bench: Settings) -> Iterator[Lack]:
    """Name, address, country and a number identify the seller: BR-06, BR-08, BR-09, BR-CO-26, BR-S-02."""
    if not bench.address:
        yield Lack("the bench has no address", f'write address = ["12 Quay", "IS-101 Skerrie"] {_BENCH}')
    yield from _of_country("the bench", bench.country, _BENCH)
    if not bench.tax_number:
        yield Lack("the bench has no tax number", f"write tax_number {_BENCH}")


def _of_client(ref: str, client: Client | None) -> Iterator[Lack]:
    """Name, address and country of the buyer: BR-07, BR-10, BR-11."""
    where = f"under [client.{ref}] of private/clients.toml"
    if client is None:
        yield Lack(f"the client {ref} has no name, address and country", f"write them {where}")
        return
    if not client.address:
        yield Lack(f"the client {ref} has no address", f'write address = ["Quay 3", "Skerrie"] {where}')
    yield from _of_country(f"the client {ref}", client.country, where)


def _of_country(who: str, country: str | None, where: str) -> Iterator[Lack]:
    if not country:
        yield Lack(f"{who} has no country", f'write country = "IS" {where}')
        return
    try:
        check_country(country)
    except CountryError as error:
        yield Lack(f"{who} has the {error.message}", f"{error.mend} ({where})")


def _of_tax(issued: Issued, bench: Settings) -> Iterator[Lack]:
    """Each rate has a category; what is exempt or exported has a reason (BR-E-10, BR-G-10), O is alone (BR-O-11)."""
    codes = [category(rate.percent, issued.tax) for rate in issued.totals.rates]
    if "" in codes:
        yield Lack(
            "bench.toml does not say what 0 % of tax means",
            'write category_at_zero = "E" (exempt), "Z" (zero rated), "G" (exported) or "O" '
            f"(outside the scope of tax) {_TAX}",
        )
    if {EXEMPT, EXPORT} & {*codes} and not issued.notes:
        yield Lack("no reason is given for what is exempt from tax", f"write it as note {_TAX}")
    if EXPORT in codes and bench.tax_number and not seller(bench).vat:
        mend = f"write tax_number with the two letters of its country in front {_BENCH}"
        yield Lack("an export needs the VAT identifier of the bench (BR-G-02)", mend)
    if OUTSIDE in codes and len(codes) > 1:
        yield Lack(
            "lines outside the scope of tax are on one paper with taxed ones",
            f'bill them apart, or write category_at_zero = "E" or "Z" {_TAX}',
        )


def _of_amounts(issued: Issued) -> Iterator[Lack]:
    currency = issued.rounding.currency
    if minor_units(currency) > _MOST_DECIMALS:
        what = f"amounts in {currency} have {minor_units(currency)} decimals, and EN 16931 allows {_MOST_DECIMALS}"
        yield Lack(what, "send it as a page")
    if not issued.totals.lines:
        yield Lack("it has no lines", "write what is charged, as in `jobkit jot price charged 155`")


def rounded_otherwise(made: StructuredInvoice) -> Iterator[str]:
    """Say which tax is not that of its rate to the cent, as BR-CO-17 has it.

    Prices with tax in them, and tax that is rounded on each line, lead to that.
    """
    for group in made.groups:
        exact = rounded(Fraction(group.net.amount) * Fraction(group.percent) / 100, group.net.currency)
        if exact != group.tax:
            apart = total([group.tax, negated(exact)], exact.currency)
            off = f"{abs(apart.amount):f} {apart.currency} off {exact}, the tax on {group.net}"
            yield (
                f"the tax at {group.percent.normalize():f} % is {off}; "
                "a receiver that checks it to the cent may refuse the paper"
            )
