"""What was paid and what was paid back."""

from __future__ import annotations

from jobkit.jobs.facts import Facts
from jobkit.jobs.money import Money, parse_money, total
from jobkit.named_tuple import NamedTuple
from jobkit.units.errors import MisuseError


class RefundError(MisuseError):
    """More was paid back than was paid; `why` says so without the job."""

    def __init__(self, job: str, why: str) -> None:
        super().__init__(
            f"{job} cannot be billed: {why}", "record the missing payment, or correct the refund"
        )
        self.why = why


class PaidSums(NamedTuple):
    """The sum of the payments, and that of the refunds."""

    paid: Money
    refunded: Money


def paid_sums(facts: Facts, currency: str) -> PaidSums:
    """Add up payments and refunds; raises RefundError where the refunds are more, MoneyError for other currencies.

    A job that is marked as paid without any payment written down was paid, in whatever way, and may be paid back.
    """
    paid, refunded = (
        total((parse_money(one.amount) for one in sums if one.amount), currency)
        for sums in (facts.payments, facts.refunds)
    )
    if refunded.amount > paid.amount and (facts.payments or not facts.paid):
        raise RefundError(facts.id, f"the refunds, {refunded}, are more than the payments, {paid}")
    return PaidSums(paid, refunded)
