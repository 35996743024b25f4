"""An invoice or a credit note in UBL 2.1 (OASIS; ISO/IEC 19845), with the core terms of EN 16931-1:2017.

The terms are at the places that CEN/TS 16931-3-2:2017 gives them. The order of the elements is that of the schema.
"""

from __future__ import annotations

from decimal import Decimal
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from jobkit.jobs.money import Money
from jobkit.named_tuple import NamedTuple
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.pages.words import listed
from jobkit.reckon.money.structured_invoice import (
    OUTSIDE,
    InvoiceLine,
    Party,
    StructuredInvoice,
    TaxGroup,
)
from jobkit.units.errors import in_lines

_URN = "urn:oasis:names:specification:ubl:schema:xsd:"
_SPECIFICATION = "urn:cen.eu:en16931:2017"
"""What the paper keeps to (BT-24)."""

_CREDIT_TRANSFER = "30"
"""How to pay (BT-81): a code of UNTDID 4461."""

_ONE = "C62"
"""The unit of every quantity (BT-130): a code of UN/ECE Recommendation 20."""

_OUTSIDE_REASON = "VATEX-EU-O"
"""The code of the reason for what is outside the scope of tax (BT-121)."""


class _Kind(NamedTuple):
    """What the elements of a kind of paper are called, and its code of UNTDID 1001 (BT-3)."""

    paper: str
    code: str
    line: str
    quantity: str


_INVOICE = _Kind("Invoice", "380", "InvoiceLine", "InvoicedQuantity")
_CREDIT_NOTE = _Kind("CreditNote", "381", "CreditNoteLine", "CreditedQuantity")


def as_ubl(made: StructuredInvoice, lang: Language = ENGLISH) -> str:
    """Write the document, its words in a language; equal papers give equal text."""
    kind = _CREDIT_NOTE if made.issued.preceding else _INVOICE
    spaces = {
        "xmlns": f"{_URN}{kind.paper}-2",
        "xmlns:cac": f"{_URN}CommonAggregateComponents-2",
        "xmlns:cbc": f"{_URN}CommonBasicComponents-2",
    }
    root = Element(kind.paper, spaces)
    _head(root, made, kind, lang)
    _party(SubElement(root, "cac:AccountingSupplierParty"), made.seller)
    _party(SubElement(root, "cac:AccountingCustomerParty"), made.buyer)
    _delivery_and_payment(root, made, lang)
    _tax(root, made, lang)
    _sums(root, made)
    for number, line in enumerate(made.lines, 1):
        _line(SubElement(root, f"cac:{kind.line}"), number, line, kind, lang)
    indent(root)
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{tostring(root, "unicode")}\n'


def _head(root: Element, made: StructuredInvoice, kind: _Kind, lang: Language) -> None:
    """Write number, days, notes, and which invoice a credit note is for."""
    issued = made.issued
    _put(root, "CustomizationID", _SPECIFICATION)
    _put(root, "ID", issued.number)
    _put(root, "IssueDate", issued.day)
    _put(root, "DueDate", issued.pay_until)
    _put(root, f"{kind.paper}TypeCode", kind.code)
    for note in (_about(made, lang), *map(lang.own, made.notes)):
        _put(root, "Note", note)
    _put(root, "DocumentCurrencyCode", issued.rounding.currency)
    if issued.preceding:
        number, day = issued.preceding
        invoice = _down(root, "BillingReference", "InvoiceDocumentReference")
        _put(invoice, "ID", number)
        _put(invoice, "IssueDate", day)


def _about(made: StructuredInvoice, lang: Language) -> str:
    """Name the job and the board, and a tax number of the client that is not a VAT identifier."""
    facts, number = made.facts, made.buyer.tax_number
    serial = lang.say("serial {serial}", serial=facts.serial) if facts.serial else ""
    yours = f"{lang.say('your tax number')} {number}" if number else ""
    job = f"{lang.say('job')} {facts.id}"
    return listed(job, lang.own(facts.kind), facts.design, serial, yours)


def _party(parent: Element, party: Party) -> None:
    one = SubElement(parent, "cac:Party")
    if party.identifier:
        _put(_down(one, "PartyIdentification"), "ID", party.identifier)
    _address(SubElement(one, "cac:PostalAddress"), party)
    for scheme, number in (
        ("VAT", party.vat),
        ("TAX", "" if party.vat else party.identifier and party.tax_number),
    ):
        if number:
            registered = SubElement(one, "cac:PartyTaxScheme")
            _put(registered, "CompanyID", number)
            _put(_down(registered, "TaxScheme"), "ID", scheme)
    _put(_down(one, "PartyLegalEntity"), "RegistrationName", party.name)


def _address(parent: Element, party: Party) -> None:
    first, second, *others = (*party.address, "", "")
    _put(parent, "StreetName", first)
    _put(parent, "AdditionalStreetName", second)
    if rest := listed(*others):
        _put(_down(parent, "AddressLine"), "Line", rest)
    _put(_down(parent, "Country"), "IdentificationCode", party.country)


def _delivery_and_payment(root: Element, made: StructuredInvoice, lang: Language) -> None:
    issued = made.issued
    if issued.supplied:
        _put(_down(root, "Delivery"), "ActualDeliveryDate", issued.supplied)
    if issued.preceding:
        number, _ = issued.preceding
        terms = lang.say("taken off invoice {number}, or paid back", number=number)
        _put(_down(root, "PaymentTerms"), "Note", terms)
    elif made.account:
        means = _down(root, "PaymentMeans")
        _put(means, "PaymentMeansCode", _CREDIT_TRANSFER)
        _put(means, "PaymentID", issued.number)
        _put(_down(means, "PayeeFinancialAccount"), "ID", made.account)


def _tax(root: Element, made: StructuredInvoice, lang: Language) -> None:
    whole = SubElement(root, "cac:TaxTotal")
    _put_money(whole, "TaxAmount", made.issued.totals.tax)
    for group in made.groups:
        part = SubElement(whole, "cac:TaxSubtotal")
        _put_money(part, "TaxableAmount", group.net)
        _put_money(part, "TaxAmount", group.tax)
        reasons = (
            _OUTSIDE_REASON if group.category == OUTSIDE else "",
            " ".join(map(lang.own, group.reason)),
        )
        _category(SubElement(part, "cac:TaxCategory"), group, *reasons)


def _category(parent: Element, one: TaxGroup | InvoiceLine, code: str = "", reason: str = "") -> None:
    """Write a category with its rate, which there is not outside the scope of tax (BR-O-05)."""
    _put(parent, "ID", one.category)
    _put(parent, "Percent", "" if one.category == OUTSIDE else _number(one.percent))
    _put(parent, "TaxExemptionReasonCode", code)
    _put(parent, "TaxExemptionReason", reason)
    _put(_down(parent, "TaxScheme"), "ID", "VAT")


def _sums(root: Element, made: StructuredInvoice) -> None:
    """Write BT-106, BT-109, BT-112, BT-113, BT-114 and BT-115."""
    issued, sums = made.issued, SubElement(root, "cac:LegalMonetaryTotal")
    _put_money(sums, "LineExtensionAmount", issued.totals.net)
    _put_money(sums, "TaxExclusiveAmount", issued.totals.net)
    _put_money(sums, "TaxInclusiveAmount", issued.totals.gross)
    if issued.paid.amount:
        _put_money(sums, "PrepaidAmount", issued.paid)
    if issued.rounding.amount:
        _put_money(sums, "PayableRoundingAmount", issued.rounding)
    _put_money(sums, "PayableAmount", issued.to_pay)


def _line(parent: Element, number: int, line: InvoiceLine, kind: _Kind, lang: Language) -> None:
    _put(parent, "ID", str(number))
    _put(parent, kind.quantity, _number(line.quantity), unitCode=_ONE)
    _put_money(parent, "LineExtensionAmount", line.net)
    item = SubElement(parent, "cac:Item")
    _put(item, "Name", lang.own(line.what))
    _category(SubElement(item, "cac:ClassifiedTaxCategory"), line)
    price = SubElement(parent, "cac:Price")
    _put(price, "PriceAmount", f"{line.price:f}", currencyID=line.net.currency)
    if line.pieces != 1:
        _put(price, "BaseQuantity", _number(line.pieces), unitCode=_ONE)


def _down(parent: Element, *names: str) -> Element:
    """Add elements one inside the other; give the last."""
    for name in names:
        parent = SubElement(parent, f"cac:{name}")
    return parent


def _put(parent: Element, name: str, text: str, **attributes: str) -> None:
    """Add an element with a text; none where there is no text."""
    if text:
        # XML cannot hold all that a string of TOML can, such as an escape.
        SubElement(parent, f"cbc:{name}", attributes).text = in_lines(text)


def _put_money(parent: Element, name: str, money: Money) -> None:
    _put(parent, name, f"{money.amount:f}", currencyID=money.currency)


def _number(number: Decimal) -> str:
    return f"{number.normalize():f}"
