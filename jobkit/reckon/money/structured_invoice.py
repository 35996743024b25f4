"""An invoice or a credit note as data, in the terms of EN 16931-1:2017: BT and BG numbers are those of the standard.

The figures are those of the paper. This is arithmetic and form, not tax or legal advice.
"""

from __future__ import annotations

import re
from decimal import Decimal

from jobkit.jobs.client import Client
from jobkit.jobs.country import CODES
from jobkit.jobs.facts import Day, Facts
from jobkit.jobs.money import Money, negated, total
from jobkit.jobs.settings import Settings, Tax
from jobkit.named_tuple import NamedTuple
from jobkit.reckon.money.bill import Bill
from jobkit.reckon.money.priced import is_after_invoice
from jobkit.reckon.money.sheets import Sheet
from jobkit.reckon.money.tax import AtRate, Billed, Totals, opposite

STANDARD, ZERO, EXEMPT, EXPORT, OUTSIDE = "S", "Z", "E", "G", "O"
"""VAT category codes (BT-118, BT-151; UNTDID 5305): taxed, zero rated, exempt, exported, outside the scope of tax."""

_NOT_TAXED = "Not subject to VAT"
"""The reason that BR-O-10 asks for where the bench gives none of its own."""

# A VAT identifier begins with the country that gave it (BR-CO-09); Greece gives EL, Northern Ireland XI.
_VAT_IDENTIFIER = re.compile(r"(?=.*[0-9])([A-Z]{2})[0-9A-Z+*]{2,13}")
_IBAN = re.compile(r"[A-Z]{2}[0-9]{2}[0-9A-Z]{11,30}")
_VAT_COUNTRIES = CODES | {"EL", "XI"}


class Issued(NamedTuple):
    """A numbered paper that is to be given as data: its amounts have no minus, be it an invoice or a credit note.

    `preceding` is number and day of the invoice that a credit note is for (BG-3); `paid` is what was paid up
    to the day of the invoice, that day included (BT-113).
    """

    number: str
    day: Day
    totals: Totals
    rounding: Money
    paid: Money
    tax: Tax
    notes: tuple[str, ...] = ()
    supplied: Day = ""
    pay_until: Day = ""
    preceding: tuple[str, Day] | None = None

    @property
    def to_pay(self) -> Money:
        """Return the amount due (BT-115): what is charged less what was paid, with the rounding (BR-CO-16)."""
        return total([self.totals.gross, negated(self.paid), self.rounding], self.rounding.currency)


class Party(NamedTuple):
    """The seller (BG-4) or the buyer (BG-7).

    `identifier` is BT-29 or BT-46, `vat` the VAT identifier (BT-31, BT-48), `tax_number` a number that is not one
    (BT-32); each "" where there is none.
    """

    name: str
    address: tuple[str, ...]
    country: str
    identifier: str = ""
    vat: str = ""
    tax_number: str = ""


class InvoiceLine(NamedTuple):
    """A line (BG-25): what, how many (BT-129), net price (BT-146) of so many pieces (BT-149), net amount (BT-131)."""

    what: str
    quantity: Decimal
    price: Decimal
    pieces: Decimal
    net: Money
    category: str
    percent: Decimal


class TaxGroup(NamedTuple):
    """The sums of one rate (BG-23), and the sentences of the reason for what is not taxed (BT-120)."""

    category: str
    percent: Decimal
    net: Money
    tax: Money
    reason: tuple[str, ...] = ()


class StructuredInvoice(NamedTuple):
    """All of a paper as data."""

    issued: Issued
    facts: Facts
    account: str
    seller: Party
    buyer: Party
    lines: tuple[InvoiceLine, ...]
    groups: tuple[TaxGroup, ...]
    notes: tuple[str, ...]


def as_issued(facts: Facts) -> Facts:
    """Leave out what came after the invoice: payments, refunds and credit notes."""
    day = facts.invoice_on
    return facts._replace(
        payments=tuple(one for one in facts.payments if one.day <= day),
        refunds=tuple(one for one in facts.refunds if one.day <= day),
        credits=tuple(one for one in facts.credits if not is_after_invoice(one, facts)),
        paid=facts.paid if facts.paid <= day else "",
    )


def issued_invoice(made: Bill, facts: Facts, supplied: Day, pay_until: Day) -> Issued:
    """Gather an invoice from its bill, made out from `as_issued`."""
    assert made.owed is not None
    paid = total([made.to_pay, negated(made.owed)], made.currency)
    notes = tuple(filter(None, (made.note, made.tax.note)))
    return Issued(
        facts.invoice_number,
        facts.invoice_on,
        made.totals,
        made.rounding,
        paid,
        made.tax,
        notes,
        supplied,
        pay_until,
    )


def issued_credit_note(note: Sheet, facts: Facts, made: Bill) -> Issued:
    """Gather a credit note of a bill."""
    return Issued(
        note.number or "",
        note.day,
        opposite(note.totals),
        negated(note.rounding),
        total((), made.currency),
        made.tax,
        tuple(filter(None, (made.note, made.tax.note))),
        preceding=(facts.invoice_number, facts.invoice_on),
    )


def structured(issued: Issued, facts: Facts, bench: Settings, client: Client) -> StructuredInvoice:
    """Give a paper as data; `check_complete` first."""
    groups = tuple(_group(rate, issued) for rate in issued.totals.rates)
    is_outside = any(group.category == OUTSIDE for group in groups)
    buyer = _party(client.name, client.address, client.country, client.tax_number, is_outside=is_outside)
    notes = () if any(group.reason for group in groups) else issued.notes
    return StructuredInvoice(
        issued,
        facts,
        _account(bench.account or ""),
        seller(bench, is_outside=is_outside),
        buyer._replace(identifier=facts.client),
        tuple(_line(row, issued.tax) for row in issued.totals.lines),
        groups,
        notes,
    )


def category(percent: Decimal, tax: Tax) -> str:
    """Return the category of a rate; "" for 0 % where the bench does not say what that means."""
    return STANDARD if percent else tax.category_at_zero


def _account(account: str) -> str:
    """Leave the blanks out of an IBAN, which are for reading alone (ISO 13616-1); any other account stays as it is."""
    compact = "".join(account.split())
    return compact if _IBAN.fullmatch(compact) else account


def seller(bench: Settings, *, is_outside: bool = False) -> Party:
    """Name the bench; a tax number that may not be called a VAT identifier identifies it all the same (BR-CO-26)."""
    party = _party(bench.name, bench.address, bench.country, bench.tax_number, is_outside=is_outside)
    return party._replace(identifier=party.tax_number)


def _party(
    name: str, address: tuple[str, ...], country: str | None, number: str | None, *, is_outside: bool
) -> Party:
    """Sort a tax number: a VAT identifier is not named where nothing is subject to VAT (BR-O-02)."""
    compact = "".join((number or "").split())
    found = _VAT_IDENTIFIER.fullmatch(compact)
    is_vat = bool(found and found[1] in _VAT_COUNTRIES) and not is_outside
    vat, other = (compact, "") if is_vat else ("", number or "")
    return Party(name, address, country or "", vat=vat, tax_number=other)


def _line(row: Billed, tax: Tax) -> InvoiceLine:
    """Give a line with its net price.

    Where prices hold their tax, the net price of one piece may have no end of decimals: it is given for all pieces.
    """
    quantity = Decimal(str(row.line.quantity))
    is_net = tax.prices == "net"
    price = row.line.each.amount if is_net else abs(row.net.amount)
    pieces = Decimal(1) if is_net else abs(quantity)
    percent = row.line.percent
    return InvoiceLine(row.line.what, quantity, price, pieces, row.net, category(percent, tax), percent)


def _group(rate: AtRate, issued: Issued) -> TaxGroup:
    code = category(rate.percent, issued.tax)
    reason = issued.notes if code in {EXEMPT, EXPORT, OUTSIDE} else ()
    if code == OUTSIDE:
        reason = reason or (_NOT_TAXED,)
    return TaxGroup(code, rate.percent, rate.net, rate.tax, reason)
