"""What a bill says beside its figures: how they came about, and what to look at before it goes out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from jobkit.jobs.client import Client
from jobkit.jobs.facts import Facts
from jobkit.jobs.money import ROUNDING, negated
from jobkit.jobs.settings import Settings
from jobkit.named_tuple import NamedTuple
from jobkit.pages.client.work_kinds import WORK_KINDS
from jobkit.pages.language.language import ENGLISH, Language
from jobkit.pages.words import hours
from jobkit.reckon.money.bill import BREAKDOWN, Bill
from jobkit.reckon.money.priced import QUOTED, was_not_repaired
from jobkit.units.phrase import phrase

NO_ADVICE = phrase("This is not tax or legal advice; local rules apply.")


class BillView(NamedTuple):
    """All that the page of a bill shows: whose bench, which job as of which day, the bill, and whom it goes to.

    Of an invoice also the day of supply, and the day until which it is to be paid.
    """

    bench: Settings
    facts: Facts
    on: date
    bill: Bill
    client: Client | None = None
    supplied: str = ""
    pay_until: date | None = None

    @property
    def is_invoice(self) -> bool:
        """Tell whether an invoice is issued; until then the bill is an estimate."""
        return bool(self.facts.invoice_number) and self.bill.basis != BREAKDOWN

    @property
    def is_final(self) -> bool:
        """Tell whether the job is over and the price is more than a quote, so that the bill will not change."""
        facts = self.facts
        over = facts.finished or facts.sent or facts.collected or facts.declined
        return bool(over) and self.bill.basis != QUOTED


def notes(view: BillView, lang: Language = ENGLISH) -> Iterator[str]:
    """Say how the figures came about, and what the bench should look at before the bill goes out."""
    bill, facts = view.bill, view.facts
    yield from map(lang.own, filter(None, (bill.note, bill.tax.note)))
    if bill.totals.lines:
        yield _calculated(bill, lang)
    yield from _agreed(bill, facts, lang)
    if bill.basis == BREAKDOWN:
        yield from _by_the_minute(bill, facts, lang)
    elif not view.is_final:
        is_quote = bill.basis == QUOTED and not facts.agreed
        yield lang.say(_OUR_QUOTE if is_quote else _NOT_FINISHED)
    yield from _payments(view, lang)
    yield lang.say(NO_ADVICE)


_OUR_QUOTE = phrase("This is our quote. It is not final until you agree to it.")
_NOT_FINISHED = phrase("The job is not finished, so this is not final.")


def _calculated(bill: Bill, lang: Language) -> str:
    """Say whether tax is in the prices, and to the bench how it is rounded."""
    name = lang.own(bill.tax.name)
    if not _is_taxed(bill):
        return lang.say("No {tax} is charged.", tax=name)
    prices = lang.say(_NET if bill.tax.prices == "net" else _GROSS, tax=name)
    if bill.basis != BREAKDOWN:
        return prices
    where = lang.say(_ON_LINES if bill.tax.rounded == "line" else _ON_RATES, tax=name)
    return " ".join((prices, where, lang.say("Amounts are rounded {how}.", how=ROUNDING)))


def _is_taxed(bill: Bill) -> bool:
    return any(rate.percent for rate in bill.totals.rates)


_NET = phrase("Prices are net: {tax} comes on top.")
_GROSS = phrase("Prices are gross: {tax} is in them.")
_ON_LINES = phrase("{tax} is calculated on each line.")
_ON_RATES = phrase("{tax} is calculated once for each rate, on the sum of its lines.")


def _agreed(bill: Bill, facts: Facts, lang: Language) -> Iterator[str]:
    if bill.asked is None or bill.most is None:
        return
    is_repair = not was_not_repaired(facts)
    said = _agreement(bill, lang, is_repair=is_repair)
    prices = lang.say("net") if bill.tax.prices == "net" else lang.say("gross")
    limit = f"{said} ({prices})." if _is_taxed(bill) else f"{said}."
    if bill.over:
        beyond = lang.say(_REPAIR_OVER if is_repair else _OVER, amount=bill.asked, over=bill.over)
        limit = f"{limit} {beyond}"
    yield limit


def _agreement(bill: Bill, lang: Language, *, is_repair: bool) -> str:
    """Say what the repair may cost without asking again, and since when."""
    if not is_repair:
        return lang.say("Price for a board that is not repaired: {amount}", amount=bill.most)
    if bill.agreed is None:
        return lang.say("At most {amount} without asking you again", amount=bill.most)
    day, amount = bill.agreed
    words = _AGREED if bill.most == amount else _AGREED_AT_MOST
    return lang.say(words, day=lang.iso_day(day), amount=amount, most=bill.most)


_AGREED = phrase("You agreed on {day} to {amount}")
_AGREED_AT_MOST = phrase("You agreed on {day} to {amount}, at most {most}")
_REPAIR_OVER = phrase("The repair costs {amount}, {over} more than that.")
_OVER = phrase("The examination costs {amount}, {over} more than that.")


def _by_the_minute(bill: Bill, facts: Facts, lang: Language) -> Iterator[str]:
    if bill.minutes:
        whole = spent(sum((minutes for _, minutes in bill.minutes), Decimal(0)), lang)
        kinds = ((lang.say(WORK_KINDS.get(did, did)), minutes) for did, minutes in bill.minutes)
        each = ", ".join(f"{kind} {spent(minutes, lang)}" for kind, minutes in kinds)
        yield lang.say("Bench time is charged to the minute, {time}: {each}.", time=whole, each=each)
    if bill.unpriced:
        yield lang.say(
            "These parts have no price, so they are not on the bill: {parts}.", parts=", ".join(bill.unpriced)
        )
    if bill.instead_of:
        yield lang.say(
            "This is only a view: the bill charges {amount} for the repair.", amount=bill.instead_of
        )
    else:
        yield lang.say("Nothing has been charged, agreed or quoted, so nothing is owed yet.")
        if facts.comeback_of:
            yield lang.say(
                "The board came back after {earlier}: see `jobkit warranty {job}` before charging it.",
                earlier=facts.comeback_of,
                job=facts.id,
            )


def _payments(view: BillView, lang: Language) -> Iterator[str]:
    bill, gross = view.bill, view.bill.charged
    kept = bill.paid.amount - bill.refunded.amount
    if bill.basis != BREAKDOWN and bill.settled and bill.payments and kept < gross.amount:
        yield lang.say(
            "Marked as paid on {day}, but the payments are {paid} and the bill is {amount}.",
            day=lang.iso_day(bill.settled),
            paid=bill.paid,
            amount=gross,
        )
    if bill.owed and bill.owed.amount < 0 and view.is_final:
        yield lang.say("{amount} was paid above the bill and is to be given back.", amount=negated(bill.owed))


def spent(minutes: Decimal, lang: Language = ENGLISH) -> str:
    """Say a stretch of bench time to the part of a minute, so that it can be calculated with."""
    whole = minutes == minutes.to_integral_value()
    return hours(minutes) if whole else lang.say("{minutes} min", minutes=minutes)
