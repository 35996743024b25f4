"""On what the price of a job is based, before tax: the lines of its bill, and the most it may come to.

Amounts are as the book writes prices, net or gross, whichever its bench.toml says.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from jobkit.jobs.facts import Credited, Discounted, Facts
from jobkit.jobs.money import Money, MoneyError, parse_money, parse_unit_price, times, total
from jobkit.named_tuple import NamedTuple
from jobkit.units.phrase import IsoDay, phrase

LINES, CHARGED, NOT_REPAIRED, AGREED, QUOTED, NOTHING = (
    "lines", "charged", "not repaired", "agreed", "quoted", "nothing",
)  # fmt: skip
"""What the price of the repair is based on, first one that is there: the bench's own lines, what it charged, the price
for a board not repaired, what was agreed last, what was quoted; and nothing yet.
"""

REPAIR, DISCOUNT, SHIPPING, CREDIT = "repair", "discount", "shipping", "credit"
"""What a line is for."""

_EXAMINED = {
    "no-fault-found": phrase("examination, no fault found"),
    "beyond-repair": phrase("examination, the board could not be repaired"),
    "declined": phrase("examination, the repair was declined"),
}


class Priced(NamedTuple):
    """So many of something at a price each; `percent` is the line's own rate of tax, None for that of the job.

    A fraction is one of an hour. A credit has the quantity -1, so that its price has no sign. `note` is the number of
    the credit note that a line is on, "" for one that has no number yet; None for a line of the bill itself.
    """

    what: str
    each: Money
    quantity: Decimal | Fraction = Decimal(1)
    percent: Decimal | None = None
    kind: str = REPAIR
    note: str | None = None
    day: str = ""

    @property
    def amount(self) -> Money:
        """Multiply out, rounded to the minor unit as on the bill."""
        return times(self.each, self.quantity)


def priced(facts: Facts) -> tuple[Priced, ...]:
    """List what the client is charged: the repair less discounts, its shipping, and what was given back."""
    return (*repair_lines(facts), *discounts(facts), *shipping_and_credits(facts))


def repair_lines(facts: Facts) -> tuple[Priced, ...]:
    """List what the repair costs: the bench's own lines where there are any, else one line, or none.

    A line whose price could not be read is left out; lint tells.
    """
    stands_on = basis(facts)
    if stands_on == LINES:
        own = (line for line in facts.price_lines if line.each)
        return tuple(
            Priced(line.what, parse_unit_price(line.each), Decimal(line.quantity), percent(line.tax))
            for line in own
        )
    price = _one_price(facts, stands_on)
    return (Priced(_words(facts, stands_on, price), price),) if price else ()


def discounts(facts: Facts) -> tuple[Priced, ...]:
    """List what is taken off the repair; nothing as long as the repair has no price."""
    if basis(facts) == NOTHING:
        return ()
    return tuple(_discount(one) for one in facts.discounts if one.amount)


def _discount(one: Discounted) -> Priced:
    what = phrase("discount: {why}", why=one.why)
    return Priced(what, parse_money(one.amount), Decimal(-1), percent(one.tax), DISCOUNT)


def shipping_and_credits(facts: Facts) -> tuple[Priced, ...]:
    """List what is on a bill whatever the repair costs."""
    shipping = facts.price_shipping
    sent = [Priced(phrase("shipping"), parse_money(shipping), kind=SHIPPING)] if shipping else []
    return (*sent, *(_credit(one, facts) for one in facts.credits if one.amount))


def _credit(one: Credited, facts: Facts) -> Priced:
    """Make the line of a credit, which is on the bill only where it was given before the invoice."""
    what = phrase("credit of {day}: {why}", day=IsoDay(one.day), why=one.why)
    note = one.number if is_after_invoice(one, facts) else None
    return Priced(what, parse_money(one.amount), Decimal(-1), percent(one.tax), CREDIT, note, one.day)


def is_after_invoice(one: Credited, facts: Facts) -> bool:
    """Tell whether a credit was given after the invoice, so that it is a credit note."""
    return bool(one.number) or bool(facts.invoice_number and one.day > facts.invoice_on)


def basis(facts: Facts) -> str:
    """Tell what the price of the repair is based on."""
    if facts.price_lines:
        return LINES
    if facts.price_charged:
        return CHARGED
    if was_not_repaired(facts):
        return NOT_REPAIRED
    if agreement(facts):
        return AGREED
    return QUOTED if facts.price_quoted else NOTHING


def was_not_repaired(facts: Facts) -> bool:
    """Tell whether the price for a board not repaired applies: it cannot be, or the client declined."""
    return facts.outcome in {"beyond-repair", "declined"} or bool(facts.declined and not facts.outcome)


def agreement(facts: Facts) -> tuple[str, Money] | None:
    """Find what the client agreed to last, and when.

    A job that was quoted and has a day of agreement, without an amount agreed, was agreed to as quoted.
    """
    last = (facts.agreed, facts.price_quoted) if facts.agreed else ("", "")
    agreed = [one for one in facts.price_agreed if one[1]]
    if agreed:
        last = max(reversed(agreed), key=lambda one: one[0])
    return (last[0], parse_money(last[1])) if last[1] else None


def most_allowed(facts: Facts) -> Money | None:
    """Tell the most the repair may come to without asking again; None where nothing was said.

    That is the ceiling, or what was agreed last where it is more or where there is no ceiling; for a board not repaired
    it is the price for that, where there is one. Shipping comes on top.
    """
    if was_not_repaired(facts) and facts.price_if_not:
        return parse_money(facts.price_if_not)
    last = agreement(facts)
    agreed = last[1] if last else None
    ceiling = parse_money(facts.price_ceiling) if facts.price_ceiling else None
    if ceiling is None or agreed is None or ceiling.currency != agreed.currency:
        return ceiling or agreed
    return max(ceiling, agreed)


def price_of_repair(facts: Facts) -> Money | None:
    """Add up what the repair costs less discounts, without shipping; raises MoneyError for two currencies."""
    amounts = [line.amount for line in (*repair_lines(facts), *discounts(facts))]
    return total(amounts, amounts[0].currency) if amounts else None


def to_pay(facts: Facts) -> Money | None:
    """Add up what the client is asked for, before tax is added; None where that is nothing or less.

    Shipping alone is not asked for: as long as nothing is said of the repair, be it that it is free, nothing is. Where
    currencies are mixed, which lint tells and `bill` refuses, it is the price of the first line.
    """
    amounts = [line.amount for line in priced(facts)]
    if not amounts or basis(facts) == NOTHING:
        return None
    try:
        money = total(amounts, amounts[0].currency)
    except MoneyError:
        money = amounts[0]
    return money if money.amount > 0 else None


def percent(text: str) -> Decimal | None:
    """Read a rate of tax as facts hold it."""
    return Decimal(text) if text else None


def _one_price(facts: Facts, stands_on: str) -> Money | None:
    last = agreement(facts)
    texts = {CHARGED: facts.price_charged, NOT_REPAIRED: facts.price_if_not, QUOTED: facts.price_quoted}
    if stands_on == AGREED and last:
        return last[1]
    text = texts.get(stands_on, "")
    return parse_money(text) if text else None


def _words(facts: Facts, stands_on: str, price: Money) -> str:
    outcome = "declined" if stands_on == NOT_REPAIRED and not facts.outcome else facts.outcome
    if outcome in _EXAMINED:
        return _EXAMINED[outcome]
    if stands_on == QUOTED:
        return phrase("repair as quoted")
    return phrase("repair, free of charge") if price.amount == 0 else _repair(facts, price)


def _repair(facts: Facts, price: Money) -> str:
    """Name a repair beside what was agreed."""
    agreed, most = agreement(facts), most_allowed(facts)
    if agreed is None or most is None:
        return phrase("repair")
    if price == agreed[1]:
        return phrase("repair as agreed")
    if most == agreed[1]:
        return phrase("repair (agreed: {amount})", amount=most)
    return phrase("repair (agreed: {amount}, at most {most})", amount=agreed[1], most=most)
